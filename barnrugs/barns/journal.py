"""The journal: each domain call writes one entry in its own transaction, with a row for each thing it is about."""

import uuid
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db import models, transaction
from django.utils import timezone

from barnrugs.barns.models import Barn, Device, JournalEntry, JournalSubject, Person
from barnrugs.barns.models.journal import SubjectKind


class UnknownAction(LookupError):
    pass


Values = Mapping[str, Any]
Tell = Callable[[Values, Values], Mapping[str, str]]


@dataclass(frozen=True)
class Action:
    """An action's sentence, with the entry's fields in braces, and which of its values are money.

    tell: makes further words of the sentence from an entry's before and after, where these are not words themselves.
    """

    name: str
    sentence: str
    money: frozenset[str] = frozenset()
    tell: Tell | None = None


_actions: dict[str, Action] = {}
_kinds: dict[type[models.Model], SubjectKind] = {Person: SubjectKind.PERSON, Barn: SubjectKind.BARN}


def register(name: str, sentence: str, money: Iterable[str] = (), tell: Tell | None = None) -> None:
    _actions[name] = Action(name, sentence, frozenset(money), tell)


def register_subject(model: type[models.Model], kind: SubjectKind) -> None:
    _kinds[model] = kind


def kind_of(model: type[models.Model]) -> SubjectKind | None:
    """As what the journal knows things of this model; None for what entries are never about."""
    return _kinds.get(model)


def action(name: str) -> Action:
    try:
        return _actions[name]
    except KeyError:
        raise UnknownAction(name) from None


def actions() -> dict[str, Action]:
    return dict(_actions)


@dataclass(frozen=True)
class Actor:
    """Who does something, on which device, and when it was done where they stood."""

    person: Person
    device: Device | None = None
    there_at: datetime | None = None
    import_key: uuid.UUID | None = None
    now: datetime = field(default_factory=timezone.now)

    @property
    def barn(self) -> Barn:
        return self.person.barn

    @property
    def at(self) -> datetime:
        return self.there_at or self.now


def write(
    actor: Actor,
    name: str,
    *,
    about: Iterable[models.Model],
    before: Mapping[str, Any] | None = None,
    after: Mapping[str, Any] | None = None,
    why: str = "",
) -> JournalEntry:
    """One entry; must stand inside the transaction of the change it records."""
    action(name)
    about = list(about)
    if not transaction.get_connection().in_atomic_block:
        raise transaction.TransactionManagementError("A journal entry belongs in the transaction of its change.")
    entry = _entry(actor, name, Written(about, before or {}, after or {}, why))
    entry.save(force_insert=True)
    JournalSubject.objects.bulk_create(_subjects(entry, about))
    return entry


@dataclass(frozen=True)
class Written:
    """What one of several entries says."""

    about: Sequence[models.Model]
    before: Values = field(default_factory=dict)
    after: Values = field(default_factory=dict)
    why: str = ""


def write_many(actor: Actor, name: str, written: Sequence[Written]) -> None:
    """An entry for each, in two statements; must stand inside the transaction of the changes they record."""
    action(name)
    if not transaction.get_connection().in_atomic_block:
        raise transaction.TransactionManagementError("Journal entries belong in the transaction of their changes.")
    entries = JournalEntry.objects.bulk_create(_entry(actor, name, one) for one in written)
    JournalSubject.objects.bulk_create(
        subject for entry, one in zip(entries, written, strict=True) for subject in _subjects(entry, one.about)
    )


def _entry(actor: Actor, name: str, written: Written) -> JournalEntry:
    return JournalEntry(
        barn=actor.barn,
        person_key=actor.person.key,
        device_key=actor.device.key if actor.device else None,
        there_at=actor.at,
        here_at=timezone.now(),
        action=name,
        before=dict(written.before),
        after=dict(written.after),
        why=written.why,
        import_key=actor.import_key,
    )


def _subjects(entry: JournalEntry, about: Iterable[models.Model]) -> list[JournalSubject]:
    subjects = {(_kinds[type(thing)], thing.pk): str(thing)[:120] for thing in about}
    return [
        JournalSubject(entry=entry, kind=kind, subject_id=pk, label=label) for (kind, pk), label in subjects.items()
    ]
