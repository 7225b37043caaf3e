"""Which care jobs, and what they have cost."""

from calendar import monthrange
from datetime import date, datetime
from decimal import Decimal
from typing import Self

from django.db.models import (
    BooleanField,
    Case,
    Count,
    DecimalField,
    Exists,
    IntegerField,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Sum,
    Value,
    When,
)
from django.db.models.functions import Coalesce
from django.utils import timezone

from barnrugs.barns.models import Barn, Person
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, CheckOutcome, DamagedPart, Waterproofing
from inventory.models import Blanket, CareJob, CareMove, CareRules, Wearing
from inventory.models.care import OFF_SITE, WAITING

TEARS = (DamagedPart.SHELL, DamagedPart.SEAM, "")
"""Parts whose damage lets waterproofing run off again; a repair without a named part counts as a tear."""

MONEY = DecimalField(max_digits=10, decimal_places=2)


WAITING_NOW = Q(step__in=WAITING)


def overdue_on(today: date) -> Q:
    missing = Q(step__in=OFF_SITE, outcome=CheckOutcome.MISSING) | Q(step=CareStep.LOST)
    return missing | Q(step__in=OFF_SITE, due_on__lt=today) | Q(temporary_fix_until__lt=today)


def of(barn: Barn) -> "CareJobQuerySet":
    return CareJobQuerySet(CareJob).filter(barn=barn)


def on(blanket: Blanket) -> "CareJobQuerySet":
    return CareJobQuerySet(CareJob).filter(blanket=blanket)


def rules(barn: Barn) -> CareRules:
    """The house's rules for care; the defaults where none were set."""
    return CareRules.objects.filter(barn=barn).first() or CareRules(barn=barn)


def share_of_price(cost: Decimal | None, price: Decimal | None) -> int | None:
    """What care cost, in per cent of the price; None without a price."""
    return round(100 * (cost or 0) / price) if price else None


def asks_to_replace(share: int | None, rules: CareRules) -> bool:
    """Whether the share of the price is such that the house asks: repair or replace?"""
    return share is not None and share >= rules.replace_share


class CareJobQuerySet(QuerySet[CareJob]):
    def open(self) -> Self:
        return self.filter(closed_at__isnull=True)

    def waiting(self) -> Self:
        """Jobs for which somebody must decide: a report, or a quote above the limit."""
        return self.filter(WAITING_NOW)

    def overdue(self, today: date) -> Self:
        """Not back when it was due, missing from its batch, or held by a temporary fix whose day is past."""
        return self.open().filter(overdue_on(today))

    def open_tears(self) -> Self:
        return self.open().filter(kind=CareKind.REPAIR, part__in=TEARS)

    def with_costs(self) -> Self:
        """Adds `cost`, what this job cost, and `blanket_cost`, what all care of its blanket cost so far."""
        return self.annotate(
            cost=cost_of(CareMove.objects.filter(job=OuterRef("pk"))),
            blanket_cost=cost_of(CareMove.objects.filter(job__blanket=OuterRef("blanket_id"))),
        )


def cost_of(moves: "QuerySet[CareMove]") -> Coalesce:
    """The sum of some moves' costs as a subquery; `moves` is filtered by an OuterRef."""
    total = moves.order_by().annotate(one=Value(1)).values("one").annotate(total=Sum("cost")).values("total")
    return Coalesce(Subquery(total), Value(0), output_field=MONEY)


def leaks(blanket: OuterRef) -> Coalesce:
    """How many leaks were reported that nothing has been done about."""
    reports = CareMove.objects.filter(
        job__blanket=blanket, job__closed_at__isnull=True, job__part=DamagedPart.LEAK, word=CareWord.REPORT
    )
    counted = reports.order_by().annotate(one=Value(1)).values("one").annotate(many=Count("pk")).values("many")
    return Coalesce(Subquery(counted), Value(0), output_field=IntegerField())


def proofing_due(open_jobs: "QuerySet[CareJob]", barn: Barn, at: datetime) -> Case:
    """Asked for, or old by the house's months, or leaking as often as the house's rules say. Needs `leaks`."""
    asked = open_jobs.filter(kind=CareKind.WATERPROOFING).exclude(part=DamagedPart.LEAK, step=CareStep.REPORTED)
    enough = Coalesce(
        Subquery(CareRules.objects.filter(barn=OuterRef("barn")).values("leaks_until_proofing")[:1]), Value(1)
    )
    sheds_water = ~Q(waterproofing=Waterproofing.NONE)
    old = Q(proofed_on__lte=long_ago(barn, at)) | Q(proofed_on__isnull=True, bought_on__lte=long_ago(barn, at))
    return Case(
        When(Exists(asked) | Q(leaks__gte=enough) | (sheds_water & old), then=Value(True)),  # noqa: FBT003
        default=Value(False),  # noqa: FBT003
        output_field=BooleanField(),
    )


def long_ago(barn: Barn, at: datetime) -> date:
    """The day before which a waterproofing has lasted out."""
    return months_before(timezone.localtime(at, barn.zone).date(), barn.proofing_months)


def months_before(day: date, months: int) -> date:
    years, month = divmod(day.year * 12 + day.month - 1 - months, 12)
    return date(years, month + 1, min(day.day, monthrange(years, month + 1)[1]))


def last_wash(blanket: Blanket) -> datetime | None:
    done = on(blanket).filter(kind=CareKind.WASH, step=CareStep.CHECKED, outcome=CheckOutcome.DONE)
    return done.order_by("-closed_at").values_list("closed_at", flat=True).first()


def washed_since_worn(blanket: Blanket) -> bool:
    """Whether it was washed after a horse last wore it."""
    washed = last_wash(blanket)
    if washed is None:
        return False
    worn = Wearing.objects.filter(blanket=blanket).filter(Q(off_at__isnull=True) | Q(off_at__gt=washed))
    return not worn.exists()


def decided_to_mend(job: CareJob) -> bool:
    """Whether a tear is to be mended, here or away, and not only reported."""
    return job.step != CareStep.REPORTED and job.decision in {CareDecision.REPAIR, CareDecision.HERE}


def decides(person: Person, job: CareJob) -> bool:
    """Whether this person may spend the payer's money without asking: the payer; for the barn's money a manager."""
    return job.payer_id == person.pk or (job.payer_id is None and person.is_manager)
