"""Which journal entries a page shows: of one thing or of the barn, by whom, of which kind, from when to when."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final
from uuid import UUID

from django.db.models import Q, QuerySet
from django.utils.translation import gettext_lazy

from barnrugs.barns import journal
from barnrugs.barns.models import Barn, JournalEntry, Person
from barnrugs.barns.models.journal import SubjectKind
from inventory.queries.money import midnight

SORTS_OF_ACTS: Final[Mapping[str, tuple[object, tuple[str, ...]]]] = {
    "changes": (
        gettext_lazy("Put on, taken off, lists"),
        ("blanket_put_on", "blanket_taken_off", "blanket_found_soaked", "line_", "lines_", "change_"),
    ),
    "damage": (gettext_lazy("Damage"), ("damage_", "care_fixed", "blanket_lost", "blanket_found", "blanket_retired")),
    "care": (gettext_lazy("Care"), ("care_", "batch_", "blanket_stored", "blanket_fetched")),
    "wet": (gettext_lazy("Wet and dry"), ("blanket_marked_wet", "blanket_hung_up", "blanket_found_soaked")),
}


@dataclass(frozen=True)
class Asked:
    """What a reader narrows the journal to; empty means all."""

    acts: str = ""
    since: date | None = None
    until: date | None = None
    who: UUID | None = None


def narrowed(entries: "QuerySet[JournalEntry]", asked: Asked, barn: Barn) -> "QuerySet[JournalEntry]":
    if asked.acts in SORTS_OF_ACTS:
        entries = entries.filter(action__in=actions_of(asked.acts))
    if asked.since:
        entries = entries.filter(there_at__gte=midnight(asked.since, barn))
    if asked.until:
        entries = entries.filter(there_at__lt=midnight(asked.until + timedelta(days=1), barn))
    if asked.who:
        entries = entries.filter(person_key=asked.who)
    return entries.order_by("-there_at", "-pk")


def actions_of(acts: str) -> Collection[str]:
    _label, beginnings = SORTS_OF_ACTS[acts]
    return {name for name in journal.actions() if name.startswith(beginnings)}


def of_barn(barn: Barn) -> "QuerySet[JournalEntry]":
    return JournalEntry.objects.filter(barn=barn)


def by_or_about(person: Person) -> "QuerySet[JournalEntry]":
    """What a person did, and what was done about them."""
    about = Q(subjects__kind=SubjectKind.PERSON, subjects__subject_id=person.pk)
    return of_barn(person.barn).filter(Q(person_key=person.key) | about).distinct()
