"""Fees and statements: what changes and care cost whom in a month. Decimal throughout."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from itertools import groupby
from operator import attrgetter
from typing import Final

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, Person
from horses.models import Horse
from inventory.enums import FeeKind
from inventory.models import CareMove, FeeReason, FeeRule
from inventory.queries import money as queries
from inventory.queries.money import Change, Month

NOTHING: Final = Decimal("0.00")


@dataclass(frozen=True)
class Charged:
    """A change with what it costs and why."""

    change: Change
    price: Decimal
    because: str
    day: date

    @property
    def said(self) -> list[str]:
        """Why it was done and why it costs this, each once."""
        why, because = self.change.why.strip(), self.because
        return [because] if why.casefold() == because.casefold() else [part for part in (why, because) if part]

    @property
    def beside(self) -> str:
        """Why it was done, where the charge's own words do not say it: without a price they are not shown."""
        return self.change.why if not self.price or self.said != [self.because] else ""


@dataclass(frozen=True)
class DayFees:
    """One horse's changes of one day."""

    day: date
    charged: list[Charged]

    @property
    def total(self) -> Decimal:
        return sum((one.price for one in self.charged), NOTHING)


@dataclass
class HorseFees:
    """One horse's part of a statement."""

    horse: Horse
    monthly: Decimal = NOTHING
    charged: list[Charged] = field(default_factory=list)

    @property
    def for_changes(self) -> Decimal:
        return sum((one.price for one in self.charged), NOTHING)

    @property
    def total(self) -> Decimal:
        return self.monthly + self.for_changes

    @property
    def days(self) -> list[DayFees]:
        return [DayFees(day, list(charged)) for day, charged in groupby(self.charged, attrgetter("day"))]

    @property
    def counted(self) -> int:
        return len(self.charged)

    @property
    def billed(self) -> int:
        return sum(one.price > 0 for one in self.charged)


@dataclass
class Statement:
    """What one person owes for one month."""

    person: Person
    month: Month
    horses: list[HorseFees] = field(default_factory=list)
    care: list[CareMove] = field(default_factory=list)

    @property
    def fees(self) -> Decimal:
        return sum((horse.total for horse in self.horses), NOTHING)

    @property
    def for_care(self) -> Decimal:
        return sum((move.cost for move in self.care if move.cost is not None), NOTHING)

    @property
    def total(self) -> Decimal:
        return self.fees + self.for_care


@transaction.atomic
def set_fee_rule(barn: Barn, *, rule: FeeRule, reasons: Sequence[tuple[str, Decimal]], actor: Actor) -> FeeRule:
    """The rule from a day on; one that began on the same day is replaced. Both stand in the journal."""
    Barn.objects.select_for_update().get(pk=barn.pk)
    former = FeeRule.objects.filter(barn=barn, since=rule.since).first()
    before = _recorded(former) if former else {}
    if former:
        former.delete()
    rule.barn = barn
    editing.validate(rule)
    rule.save(force_insert=True)
    for words, price in reasons:
        reason = FeeReason(barn=barn, rule=rule, words=words, price=price)
        editing.validate(reason)
        reason.save(force_insert=True)
    journal.write(actor, "fee_rule_set", about=[barn], before=before, after=_recorded(rule))
    return rule


def _recorded(rule: FeeRule) -> dict[str, str | int]:
    return {
        "since": rule.since.isoformat(),
        "kind": rule.kind,
        "monthly": str(rule.monthly),
        "per_change": str(rule.per_change),
        "included": rule.included,
        "reasons": "; ".join(f"{reason.words}: {reason.price}" for reason in rule.reasons.order_by("words")),
    }


def statements(barn: Barn, month: Month) -> dict[int, Statement]:
    """Everybody's statement of a month, by person; a constant number of queries. Nothing owed: no statement."""
    start, end = month.span(barn)
    rules = queries.rules(barn)
    payers = queries.Payers(barn, month)
    fees: dict[tuple[int, int], HorseFees] = {}
    for horse in payers.horses:
        monthly = _monthly(rules, month)
        payer = payers.of_the_month(horse)
        if payer is not None and monthly:
            fees.setdefault((payer, horse.pk), HorseFees(horse)).monthly = monthly
    for charged in charge(queries.changes(barn, start, end), rules, barn):
        horse = charged.change.horse
        payer = payers.on(horse, charged.day)
        if payer is not None:
            fees.setdefault((payer, horse.pk), HorseFees(horse)).charged.append(charged)
    care: dict[int, list[CareMove]] = defaultdict(list)
    for move in queries.costs(barn, start, end):
        if move.job.payer_id:
            care[move.job.payer_id].append(move)
    return _gathered(barn, month, fees, care)


def _gathered(
    barn: Barn, month: Month, fees: dict[tuple[int, int], HorseFees], care: dict[int, list[CareMove]]
) -> dict[int, Statement]:
    people = Person.objects.filter(barn=barn, pk__in={payer for payer, _horse in fees} | care.keys())
    found = {person.pk: Statement(person, month) for person in people}
    for (payer, _horse), horse in fees.items():
        found[payer].horses.append(horse)
    for payer, moves in care.items():
        found[payer].care = moves
    for statement in found.values():
        statement.horses.sort(key=lambda one: (one.horse.name, one.horse.pk))
    return found


def statement(barn: Barn, person: Person, month: Month) -> Statement:
    return statements(barn, month).get(person.pk) or Statement(person, month)


def _monthly(rules: Iterable[FeeRule], month: Month) -> Decimal:
    """The monthly amount of the rule in force on the first: a rule that begins later counts from the next month."""
    rule = queries.rule_on(rules, month.first)
    return rule.monthly if rule else NOTHING


def charge(changes: Iterable[Change], rules: Sequence[FeeRule], barn: Barn) -> list[Charged]:
    """Prices each change by its day's rule: a reason's own price first, then what is included for the horse and day."""
    used: dict[tuple[int, date], int] = defaultdict(int)
    charged = []
    for change in changes:
        day = _day(change, barn)
        price, because = _price(change, queries.rule_on(rules, day), used, (change.horse.pk, day))
        charged.append(Charged(change, price, because, day))
    return charged


def _price(
    change: Change, rule: FeeRule | None, used: dict[tuple[int, date], int], place: tuple[int, date]
) -> tuple[Decimal, str]:
    if rule is None:
        return NOTHING, _("no fee rule yet")
    reason = _reason(rule, change.why)
    if reason:
        return reason.price, reason.words
    if rule.kind == FeeKind.FLAT:
        return NOTHING, _("in the monthly amount")
    used[place] += 1
    if used[place] <= rule.included:
        return NOTHING, _("included")
    return rule.per_change, _("above the %(included)d included") % {"included": rule.included}


def _reason(rule: FeeRule, why: str) -> FeeReason | None:
    said = why.strip().casefold()
    return next((reason for reason in rule.reasons.all() if reason.words.casefold() == said), None) if said else None


def _day(change: Change, barn: Barn) -> date:
    return timezone.localtime(change.at, barn.zone).date()
