"""Who owns or leases a horse, from a day to another."""

from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from horses.models import Horse, HorseOwner


@transaction.atomic
def add_owner(
    horse: Horse, *, person: Person, since: date, actor: Actor, lessee: bool = False, until: date | None = None
) -> HorseOwner:
    """Somebody owns or leases the horse from a day on; who has no part as an owner yet gets it."""
    holder = HorseOwner(barn=actor.barn, horse=horse, person=person, lessee=lessee, since=since, until=until)
    twice = _("%(person)s holds %(horse)s already.") % {"person": person, "horse": horse}
    backwards = _("It cannot end before it began.")
    editing.validate(holder, {"horse_owner_once": twice, "horse_owner_ends_after_it_began": backwards})
    with refusing({"horse_owner_once": twice, "horses_horseowner.horse_id, horses_horseowner.person_id": twice}):
        holder.save(force_insert=True)
    granted = editing.edit(person, values={"is_owner": True})
    journal.write(
        actor,
        "horse_leased" if lessee else "horse_owner_added",
        about=[horse, person],
        before=granted.before,
        after={"since": since, "until": until, **granted.after},
    )
    return holder


@transaction.atomic
def end_owner(holder: HorseOwner, *, until: date, actor: Actor) -> HorseOwner:
    """The last day on which somebody owns or leases the horse."""
    holder = HorseOwner.objects.select_for_update(of=("self",)).select_related("horse", "person").get(pk=holder.pk)
    if holder.until:
        raise Refused(_("This ended already on %(day)s.") % {"day": holder.until})
    if until < holder.since:
        raise Refused(_("It began only on %(day)s.") % {"day": holder.since}, field="until")
    holder.until = until
    holder.save(update_fields=["until"])
    journal.write(actor, "horse_owner_ended", about=[holder.horse, holder.person], after={"until": until})
    return holder
