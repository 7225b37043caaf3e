"""Horses: added, changed, noted, moved in the walking order, here or gone. An edit can be taken back by a new entry."""

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, JournalEntry
from horses.domain import paddock
from horses.enums import Presence
from horses.models import Horse
from horses.queries import horse as queries

GONE = (Presence.SOLD, Presence.DEAD)


@transaction.atomic
def add_horse(*, values: Mapping[str, Any], actor: Actor) -> Horse:
    """A new horse, last in the walking order."""
    Barn.objects.select_for_update().get(pk=actor.barn.pk)
    horse = Horse(barn=actor.barn, walk_order=queries.last_place(actor.barn) + 1, **values)
    editing.validate(horse)
    horse.save(force_insert=True)
    after = {name: value for name, value in editing.snapshot(horse, values).items() if value not in (None, "", False)}
    journal.write(actor, "horse_added", about=[horse], after=after)
    return horse


@transaction.atomic
def change_horse(
    horse: Horse, *, values: Mapping[str, Any], actor: Actor, seen: Mapping[str, Any] | None = None
) -> Horse:
    return _edit(horse, "horse_changed", values, actor, seen)


@transaction.atomic
def note_handling(
    horse: Horse, *, values: Mapping[str, Any], actor: Actor, seen: Mapping[str, Any] | None = None
) -> Horse:
    """How to handle it, in the words of whoever does."""
    return _edit(horse, "horse_noted", values, actor, seen)


@transaction.atomic
def note_vet(horse: Horse, *, values: Mapping[str, Any], actor: Actor, seen: Mapping[str, Any] | None = None) -> Horse:
    """The veterinarian's note, which stands above every other rule."""
    return _edit(horse, "vet_noted", values, actor, seen)


@transaction.atomic
def set_presence(horse: Horse, *, presence: Presence, actor: Actor, why: str = "") -> Horse:
    """Here, away, laid up, sold or dead. A horse that is gone for good stands in no paddock any more."""
    edited = editing.edit(horse, values={"presence": presence})
    if not edited.after:
        raise Refused(
            _("%(horse)s is noted as that already: %(presence)s.")
            % {"horse": horse, "presence": edited.record.get_presence_display()}
        )
    if presence in GONE:
        paddock.leave(edited.record, actor=actor)
    after = {**edited.after, "what": edited.record.get_presence_display()}
    journal.write(actor, "horse_presence_set", about=[edited.record], before=edited.before, after=after, why=why)
    return edited.record


@transaction.atomic
def move_in_order(horse: Horse, *, to: int, actor: Actor) -> list[Horse]:
    """Puts a horse at a place of the walking order, 1 the first; a place beyond the ends is the end."""
    Barn.objects.select_for_update().get(pk=actor.barn.pk)
    line = list(queries.of(actor.barn).of_the_barn().order_by("walk_order", "name", "pk"))
    before = next((place for place, other in enumerate(line) if other.pk == horse.pk), None)
    if before is None:
        raise Refused(_("%(horse)s is no longer in the walking order.") % {"horse": horse})
    line.insert(min(max(to - 1, 0), len(line) - 1), line.pop(before))
    moved = []
    for place, other in enumerate(line, start=1):
        if other.walk_order != place:
            other.walk_order = place
            moved.append(other)
    Horse.objects.bulk_update(moved, ["walk_order"])
    after = {"place": line.index(horse) + 1}
    journal.write(actor, "horse_moved_in_order", about=[horse], before={"place": before + 1}, after=after)
    return line


@transaction.atomic
def take_back(entry: JournalEntry, *, horse: Horse, actor: Actor) -> Horse:
    """Puts back what an edit changed. Refused when the same has been changed again since."""
    after = {name: value for name, value in entry.after.items() if name in entry.before}
    edited = editing.taken_back(horse, before=entry.before, after=after)
    journal.write(
        actor,
        "horse_edit_taken_back",
        about=[edited.record],
        before=edited.before,
        after={**edited.after, "what": edited.what, "of": entry.pk},
    )
    return edited.record


def _edit(horse: Horse, action: str, values: Mapping[str, Any], actor: Actor, seen: Mapping[str, Any] | None) -> Horse:
    edited = editing.edit(horse, values=values, seen=seen)
    if edited.after:
        after = {**edited.after, "what": edited.what}
        journal.write(actor, action, about=[edited.record], before=edited.before, after=after)
    return edited.record
