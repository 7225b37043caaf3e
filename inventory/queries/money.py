"""What care has cost, and who changed what on which horse: the figures behind costs and statements."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from django.db.models import Q, QuerySet
from django.utils import timezone

from barnrugs.barns.models import Barn, JournalSubject
from barnrugs.barns.models.journal import SubjectKind
from horses.models import Horse, HorseOwner
from inventory.models import CareMove, FeeRule, Wearing

CHANGING = ("blanket_put_on", "blanket_taken_off")
TAKING_BACK = ("line_taken_back", "wearing_taken_back")
TAKEN_BACK_WITHIN = timedelta(days=2)
"""So long after a month's end what was taken back still counts for it."""


@dataclass(frozen=True)
class Month:
    """A month in the barn's own zone."""

    year: int
    month: int

    @property
    def first(self) -> date:
        return date(self.year, self.month, 1)

    @property
    def following(self) -> "Month":
        return Month(self.year + self.month // 12, self.month % 12 + 1)

    @property
    def before(self) -> "Month":
        day = self.first - timedelta(days=1)
        return Month(day.year, day.month)

    @property
    def last(self) -> date:
        return self.following.first - timedelta(days=1)

    def span(self, barn: Barn) -> tuple[datetime, datetime]:
        return midnight(self.first, barn), midnight(self.following.first, barn)


def month_of(day: date) -> Month:
    return Month(day.year, day.month)


def midnight(day: date, barn: Barn) -> datetime:
    return datetime.combine(day, time(), tzinfo=barn.zone)


@dataclass
class Change:
    """One change on one horse: everything that went on or came off at the same moment."""

    horse: Horse
    at: datetime
    on: list[str] = field(default_factory=list)
    off: list[str] = field(default_factory=list)
    why: str = ""


def costs(barn: Barn, start: datetime, end: datetime) -> "QuerySet[CareMove]":
    """Steps of care that cost something, in a span of time."""
    return (
        CareMove.objects.filter(barn=barn, cost__isnull=False, at__gte=start, at__lt=end)
        .exclude(cost=0)
        .select_related("job__blanket__owner", "job__blanket__usual_horse", "job__on_horse", "job__payer")
        .order_by("at", "pk")
    )


def changes(barn: Barn, start: datetime, end: datetime) -> list[Change]:
    """All changes in a span, in order of time: a swap is one change, and layers put on together are one.

    A mis-tap that was taken back is no change, nor is its taking back.
    """
    later = end + TAKEN_BACK_WITHIN
    inside = Q(on_at__gte=start, on_at__lt=later) | Q(off_at__gte=start, off_at__lt=later)
    found: dict[tuple[int, datetime], Change] = {}
    for wearing in Wearing.objects.filter(inside, barn=barn).select_related("horse", "blanket").order_by("layer", "pk"):
        for at, what in ((wearing.on_at, "on"), (wearing.off_at, "off")):
            if at is not None and start <= at < later:
                change = found.setdefault((wearing.horse_id, at), Change(wearing.horse, at))
                (change.on if what == "on" else change.off).append(wearing.blanket.tag)
    for key, why in _reasons(barn, start, end).items():
        if key in found:
            found[key].why = why
    ordered = sorted(found.values(), key=lambda change: (change.at, change.horse.pk))
    kept = _without_mistakes(ordered, _taken_back(barn, start, later))
    return [change for change in kept if change.at < end]


def _without_mistakes(changes: list[Change], taken_back: set[tuple[int, datetime]]) -> list[Change]:
    kept: list[Change] = []
    for change in changes:
        if (change.horse.pk, change.at) not in taken_back:
            kept.append(change)
            continue
        mistake = next((one for one in reversed(kept) if one.horse.pk == change.horse.pk), None)
        if mistake:
            kept.remove(mistake)
    return kept


def _taken_back(barn: Barn, start: datetime, end: datetime) -> set[tuple[int, datetime]]:
    """When a mis-tap on which horse was taken back."""
    return set(
        JournalSubject.objects.filter(
            kind=SubjectKind.HORSE,
            entry__barn=barn,
            entry__action__in=TAKING_BACK,
            entry__there_at__gte=start,
            entry__there_at__lt=end,
        ).values_list("subject_id", "entry__there_at")
    )


def _reasons(barn: Barn, start: datetime, end: datetime) -> dict[tuple[int, datetime], str]:
    """Why each horse was changed at each moment, as written in the journal."""
    said = JournalSubject.objects.filter(
        kind=SubjectKind.HORSE,
        entry__barn=barn,
        entry__action__in=CHANGING,
        entry__there_at__gte=start,
        entry__there_at__lt=end,
    ).exclude(entry__why="")
    return {(horse, at): why for horse, at, why in said.values_list("subject_id", "entry__there_at", "entry__why")}


def rules(barn: Barn) -> list[FeeRule]:
    """The barn's fee rules, the newest first, with their reasons."""
    return list(FeeRule.objects.filter(barn=barn).prefetch_related("reasons").order_by("-since"))


def rule_on(rules: Iterable[FeeRule], day: date) -> FeeRule | None:
    """The rule in force on a day; `rules` newest first."""
    return next((rule for rule in rules if rule.since <= day), None)


class Payers:
    """Who pays for a horse's changes on a day: its lessee, or else the owner of longest standing."""

    def __init__(self, barn: Barn, month: Month) -> None:
        held = HorseOwner.objects.filter(
            Q(until__isnull=True) | Q(until__gte=month.first), barn=barn, since__lte=month.last
        )
        self._held: Mapping[int, list[HorseOwner]] = _by_horse(held.select_related("person", "horse"))
        self.month = month

    @property
    def horses(self) -> Collection[Horse]:
        return {holders[0].horse_id: holders[0].horse for holders in self._held.values()}.values()

    def on(self, horse: Horse, day: date) -> int | None:
        now = [
            one for one in self._held.get(horse.pk, []) if one.since <= day and (one.until is None or one.until >= day)
        ]
        first = min(now, key=lambda one: (not one.lessee, one.since, one.pk), default=None)
        return first.person_id if first else None

    def of_the_month(self, horse: Horse) -> int | None:
        """Who pays the monthly amount: whoever pays on the first day of the month on which anybody does."""
        days = (self.month.last - self.month.first).days + 1
        each = (self.on(horse, self.month.first + timedelta(days=step)) for step in range(days))
        return next((person for person in each if person is not None), None)


def _by_horse(held: Iterable[HorseOwner]) -> dict[int, list[HorseOwner]]:
    horses: dict[int, list[HorseOwner]] = defaultdict(list)
    for one in held:
        horses[one.horse_id].append(one)
    return horses


def today(barn: Barn, at: datetime) -> date:
    return timezone.localtime(at, barn.zone).date()
