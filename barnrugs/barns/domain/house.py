"""The barn itself: made once, its house rules changed by its managers."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import time
from typing import Any, Final
from unicodedata import category

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, JournalEntry, Person, StaffedTime, User
from barnrugs.barns.models.barn import USUAL_TIMES, Session

UNSEEN: Final = frozenset({"Cc", "Zl", "Zp"})
"""Unicode categories: control characters and the ends of lines and paragraphs."""


@dataclass(frozen=True)
class NewBarn:
    name: str
    slug: str
    time_zone: str
    units: str


@transaction.atomic
def make_barn(new: NewBarn, *, manager_name: str, user: User | None) -> Person:
    """A barn with its usual staffed times and its first manager, who is returned; without a user, to be invited."""
    barn = Barn(name=new.name, slug=new.slug, time_zone=new.time_zone, units=new.units)
    taken = _("There is a barn at %(slug)s already.") % {"slug": f"/barns/{new.slug}/"}
    if Barn.objects.filter(slug=new.slug).exists():
        raise Refused(taken)
    _refuse_unseen(new.name, manager_name)
    editing.validate(barn)
    with refusing({"slug": taken}):
        barn.save(force_insert=True)
    manager = Person(barn=barn, user=user, name=manager_name, is_manager=True)
    editing.validate(manager)
    manager.save(force_insert=True)
    actor = Actor(person=manager)
    manager.joined_on = actor.now.astimezone(barn.zone).date()
    manager.save(update_fields=["joined_on"])
    StaffedTime.objects.bulk_create(
        StaffedTime(barn=barn, session=session, at=USUAL_TIMES[session])
        for session in (Session.TURNOUT, Session.BRING_IN, Session.NIGHT_CHECK)
    )
    journal.write(actor, "barn_made", about=[barn, manager], after={"name": barn.name, "time_zone": barn.time_zone})
    return manager


@transaction.atomic
def change_house(barn: Barn, *, values: Mapping[str, Any], actor: Actor, seen: Mapping[str, Any] | None = None) -> Barn:
    """Changes house rules; saved as they were, they are confirmed."""
    _refuse_unseen(values.get("name", ""))
    edited = editing.edit(barn, values=values, seen=seen)
    if edited.after:
        journal.write(
            actor,
            "house_changed",
            about=[edited.record],
            before=edited.before,
            after={**edited.after, "what": edited.what},
        )
    else:
        journal.write(actor, "house_confirmed", about=[edited.record])
    return edited.record


def _refuse_unseen(*names: str) -> None:
    """Names stand in the subjects of letters and in the heads of files, on one line."""
    if any(category(letter) in UNSEEN for name in names for letter in name):
        raise Refused(_("A name stands on one line, without control characters."), field="name")


@transaction.atomic
def take_back(entry: JournalEntry, *, actor: Actor) -> Barn:
    """Puts back what a change of house rules changed. Refused when the same has been changed again since."""
    after = {name: value for name, value in entry.after.items() if name in entry.before}
    edited = editing.taken_back(actor.barn, before=entry.before, after=after)
    journal.write(
        actor,
        "house_change_taken_back",
        about=[edited.record],
        before=edited.before,
        after={**edited.after, "what": edited.what, "of": entry.pk},
    )
    return edited.record


@transaction.atomic
def set_staffed_times(barn: Barn, *, times: Mapping[str, time], actor: Actor) -> None:
    """The times of day at which somebody is there to change blankets: exactly these."""
    Barn.objects.select_for_update().get(pk=barn.pk)
    before = {known.session: known.at for known in StaffedTime.objects.filter(barn=barn)}
    StaffedTime.objects.filter(barn=barn).exclude(session__in=times).delete()
    for session, at in times.items():
        StaffedTime.objects.update_or_create(barn=barn, session=session, defaults={"at": at})
    journal.write(actor, "staffed_times_set", about=[barn], before=_clock(before), after=_clock(times))


def _clock(times: Mapping[str, time]) -> dict[str, str]:
    return {session: f"{at:%H:%M}" for session, at in times.items()}
