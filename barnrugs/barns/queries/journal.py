"""The journal's entries, and their sentences as a person may read them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Model, QuerySet, prefetch_related_objects
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.models import Device, JournalEntry, Person

NOT_SAID = "…"


@dataclass(frozen=True)
class Sentence:
    """One entry as a sentence, with when, why and on which device; the entry itself for what a page does with it."""

    text: str
    at: datetime
    who: str
    why: str
    device: str
    entry: JournalEntry

    @property
    def arrived_at(self) -> datetime | None:
        """When it reached us, where that was more than a minute after it was done."""
        late = (self.entry.here_at - self.entry.there_at).total_seconds() > 60
        return self.entry.here_at if late else None


def about(thing: Model) -> QuerySet[JournalEntry]:
    """Entries about one horse, blanket, person or barn, newest first."""
    kind = journal.kind_of(type(thing))
    return JournalEntry.objects.filter(subjects__kind=kind, subjects__subject_id=thing.pk).order_by("-there_at", "-pk")


def sentences(entries: Iterable[JournalEntry], person: Person, *, sees_money: bool | None = None) -> list[Sentence]:
    """What the entries say, in the reader's language; three queries besides their own for any number of them.

    sees_money: whether this person may read what things cost; without it, managers alone.
    """
    found = list(entries)
    prefetch_related_objects(found, "subjects")
    names = _names(found, person)
    devices = _devices(found, person)
    money = person.is_manager if sees_money is None else sees_money
    return [_sentence(entry, names, devices, money) for entry in found]


def _names(entries: Iterable[JournalEntry], person: Person) -> dict[UUID, str]:
    keys = {entry.person_key for entry in entries}
    return dict(Person.objects.filter(barn=person.barn_id, key__in=keys).values_list("key", "name"))


def _devices(entries: Iterable[JournalEntry], person: Person) -> dict[UUID, str]:
    keys = {entry.device_key for entry in entries if entry.device_key}
    return dict(Device.objects.filter(barn=person.barn_id, key__in=keys).values_list("key", "name"))


def _sentence(entry: JournalEntry, names: Mapping[UUID, str], devices: Mapping[UUID, str], money: bool) -> Sentence:
    who = names.get(entry.person_key) or _("Somebody who left")
    return Sentence(
        text=_text(entry, who, money),
        at=entry.there_at,
        who=who,
        why=entry.why,
        device=devices.get(entry.device_key, "") if entry.device_key else "",
        entry=entry,
    )


def _text(entry: JournalEntry, who: str, money: bool) -> str:
    action = journal.action(entry.action)
    before, after = _shown(entry.before, action, money), _shown(entry.after, action, money)
    told = action.tell(before, after) if action.tell else {}
    return _(action.sentence).format_map(_Words({**_labels(entry), **after, **told, "who": who}))


def _shown(values: Mapping[str, Any], action: journal.Action, money: bool) -> dict[str, Any]:
    return {name: value for name, value in values.items() if money or name not in action.money}


def _labels(entry: JournalEntry) -> dict[str, str]:
    """The things it is about, by kind; of several of a kind, all."""
    labels: dict[str, list[str]] = {}
    for subject in entry.subjects.all():
        labels.setdefault(subject.kind, []).append(subject.label)
    return {kind: ", ".join(several) for kind, several in labels.items()}


class _Words(dict[str, Any]):
    """Old entries may lack a word that today's sentence has."""

    def __missing__(self, name: str) -> str:
        return NOT_SAID
