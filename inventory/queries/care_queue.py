"""The queues of open work, their lengths, and how long and how old they have been week by week."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from statistics import median

from django.db.models import Count, F, Q, QuerySet
from django.utils import timezone

from barnrugs.barns.models import Barn
from inventory.enums import CareKind, CareStep, Keeping, Queue, Waterproofing
from inventory.models import Blanket, CareJob, Placing
from inventory.queries import blankets, care

WEEKS = 26
ORDERS = {
    "oldest": ("reported_at", "pk"),
    "newest": ("-reported_at", "-pk"),
    "tag": ("blanket__tag", "pk"),
    "owner": (F("blanket__owner__name").asc(nulls_first=True), "blanket__tag", "pk"),
    "due": (F("due_on").asc(nulls_last=True), "reported_at", "pk"),
    "step": ("step", "reported_at", "pk"),
    "cost": ("-blanket_cost", "pk"),
}


@dataclass(frozen=True)
class Week:
    """The queue as it stood at the end of one week."""

    end: date
    length: int
    median_days: int
    oldest_days: int


def condition(queue: str, today: date, decide_by: datetime) -> Q:
    """Which open jobs stand in a queue. A decision counts as overdue when it was asked for before `decide_by`."""
    here = ~Q(step=CareStep.LOST)
    return {
        Queue.WASH: Q(kind=CareKind.WASH) & here,
        Queue.REPAIR: Q(kind=CareKind.REPAIR) & here,
        Queue.WATERPROOFING: Q(kind=CareKind.WATERPROOFING) & here,
        Queue.DECISIONS: care.WAITING_NOW,
        Queue.OVERDUE: care.overdue_on(today) | (care.WAITING_NOW & Q(reported_at__lt=decide_by)),
        Queue.ALL: Q(),
    }[Queue(queue)]


def decide_by(barn: Barn, at: datetime) -> datetime:
    return at - timedelta(days=care.rules(barn).days_to_decide)


def lengths(jobs: "QuerySet[CareJob]", today: date, late: datetime) -> dict[str, int]:
    """How many open jobs stand in each queue; one query."""
    counted = jobs.filter(closed_at__isnull=True).aggregate(
        **{queue.value: Count("pk", filter=condition(queue, today, late) or Q(pk__gt=0)) for queue in Queue}
    )
    return {name: int(many) for name, many in counted.items()}


def proofing_due(barn: Barn, at: datetime) -> "QuerySet[Blanket]":
    """Blankets whose waterproofing has lasted out by the calendar, for which no work is open yet."""
    long_ago = care.long_ago(barn, at)
    gone = Placing.objects.filter(until__isnull=True, kind__in=[Keeping.LOST, Keeping.RETIRED])
    asked = CareJob.objects.filter(closed_at__isnull=True, kind=CareKind.WATERPROOFING)
    old = Q(proofed_on__lte=long_ago) | Q(proofed_on__isnull=True, bought_on__lte=long_ago)
    return (
        blankets.of(barn)
        .exclude(waterproofing=Waterproofing.NONE)
        .filter(old)
        .exclude(pk__in=gone.values("blanket"))
        .exclude(pk__in=asked.values("blanket"))
        .select_related("owner", "usual_horse")
        .order_by(F("proofed_on").asc(nulls_first=True), "bought_on", "tag")
    )


def weeks(spans: Iterable[tuple[datetime, datetime | None]], barn: Barn, at: datetime) -> list[Week]:
    """Length and age of a queue at the end of each of the last weeks, from when its jobs were reported and closed."""
    known = list(spans)
    last = timezone.localtime(at, barn.zone)
    ends = [last - timedelta(weeks=back) for back in range(WEEKS - 1, -1, -1)]
    return [
        _week(end, [began for began, over in known if began <= end and (over is None or over > end)]) for end in ends
    ]


def _week(end: datetime, began: list[datetime]) -> Week:
    days = [(end - start).days for start in began]
    return Week(end.date(), len(days), round(median(days)) if days else 0, max(days, default=0))


def spans(jobs: "QuerySet[CareJob]", since: datetime) -> "QuerySet[CareJob, tuple[datetime, datetime | None]]":
    """When jobs began and ended, of those that were open at any time since."""
    return jobs.filter(Q(closed_at__isnull=True) | Q(closed_at__gte=since)).values_list("reported_at", "closed_at")
