"""Leave to use a blanket on a horse that is not its owner's: given by the owner or a manager, from a day to another."""

from datetime import date, timedelta

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from horses.models import Horse
from inventory.domain import care_checks as checks
from inventory.models import Blanket, Leave
from inventory.queries import fit as queries


@transaction.atomic
def give_leave(
    blanket: Blanket, *, horse: Horse | None, since: date, actor: Actor, until: date | None = None, why: str = ""
) -> Leave:
    """Lets a horse, or any horse, wear this blanket from a day on."""
    Blanket.objects.select_for_update().get(pk=blanket.pk)
    if blanket.owner_id is None:
        raise Refused(_("%(blanket)s is the barn's own: no leave is needed.") % {"blanket": blanket})
    if queries.leaves_of(blanket, since).filter(horse=horse).exists():
        raise Refused(_("There is leave for this already."))
    leave = Leave(barn=actor.barn, blanket=blanket, horse=horse, since=since, until=until)
    editing.validate(leave)
    leave.save(force_insert=True)
    journal.write(
        actor,
        "leave_given",
        about=[blanket, horse] if horse else [blanket],
        after={"for_whom": for_whom(horse), "since": since, "until": until},
        why=why,
    )
    return leave


@transaction.atomic
def end_leave(leave: Leave | None, *, actor: Actor, why: str = "") -> Leave | None:
    """From today it no longer holds; one that would have begun later, or today, never did. None is gone already."""
    known = Leave.objects.select_for_update(of=("self",)).select_related("blanket", "horse")
    leave = known.filter(pk=leave.pk).first() if leave else None
    yesterday = checks.day(actor) - timedelta(days=1)
    if leave is None or (leave.until and leave.until <= yesterday):
        raise Refused(_("This leave has ended already."))
    about = [leave.blanket, leave.horse] if leave.horse else [leave.blanket]
    before = {"since": leave.since, "until": leave.until}
    kept: Leave | None = leave
    if leave.since > yesterday:
        leave.delete()
        kept = None
    else:
        leave.until = yesterday
        leave.save(update_fields=["until"])
    after = {"for_whom": for_whom(leave.horse), "until": yesterday}
    journal.write(actor, "leave_ended", about=about, before=before, after=after, why=why)
    return kept


def for_whom(horse: Horse | None) -> str:
    return horse.name if horse else _("any horse")
