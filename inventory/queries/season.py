"""The end of the season: what was worn and what it needs; and the autumn list: what was put away not ready."""

from datetime import date, datetime
from typing import Any

from django.db.models import Case, Exists, F, Max, OuterRef, Q, QuerySet, Subquery, Value, When
from django.db.models.functions import Coalesce, Greatest
from django.utils import timezone

from barnrugs.barns.models import Barn
from inventory.enums import CareKind, CareStep, CheckOutcome, Keeping, Where
from inventory.models import CareJob, Placing, Wearing
from inventory.queries import blankets, care
from inventory.queries.money import midnight


def began(barn: Barn, at: datetime) -> date:
    """The day on which the blanket season at hand, or the last one, began."""
    today = timezone.localtime(at, barn.zone).date()
    month = care.rules(barn).season_month
    return date(today.year if today.month >= month else today.year - 1, month, 1)


def worn_this_season(barn: Barn, at: datetime, since: date) -> Any:
    """Blankets that a horse wore since that day, with their answers, last wash and last wearing, and what is open.

    Adds `unwashed`: worn after its last wash, or never washed.
    """
    return _with_wash(blankets.of(barn).with_condition(barn, at).kept(), at).filter(
        Exists(_worn_since(midnight(since, barn)))
    )


def _worn_since(start: datetime) -> "QuerySet[Wearing]":
    recent = Q(off_at__isnull=True) | Q(off_at__gte=start)
    return Wearing.objects.filter(recent, blanket=OuterRef("pk"))


def put_away_not_ready(barn: Barn, at: datetime) -> Any:
    """Stored away with work open, or worn since the last wash: what September would find."""
    away: Any = _with_wash(blankets.of(barn).with_condition(barn, at), at)
    not_ready = Q(unwashed=True) | Q(wash_due=True) | Q(repair_due=True) | Q(proofing_due=True) | Q(is_unsafe=True)
    return away.filter(not_ready, where=Where.STORED)


def stored(barn: Barn, at: datetime) -> Any:
    known: Any = blankets.of(barn).with_condition(barn, at)
    return known.filter(where=Where.STORED)


def _with_wash(found: Any, at: datetime) -> Any:
    washes = CareJob.objects.filter(
        blanket=OuterRef("pk"), kind=CareKind.WASH, step=CareStep.CHECKED, outcome=CheckOutcome.DONE
    )
    wearings = Wearing.objects.filter(blanket=OuterRef("pk")).order_by().values("blanket")
    return found.annotate(
        last_wash_at=Subquery(washes.order_by("-closed_at").values("closed_at")[:1]),
        last_worn_at=Subquery(
            wearings.annotate(last=Max(Greatest("on_at", Coalesce("off_at", Value(at))))).values("last")
        ),
        stored_at=Subquery(
            Placing.objects.filter(blanket=OuterRef("pk"), kind=Keeping.STORED, until__isnull=True).values("since")[:1]
        ),
    ).annotate(
        unwashed=Case(
            When(last_worn_at__isnull=True, then=Value(False)),  # noqa: FBT003
            When(last_wash_at__isnull=True, then=Value(True)),  # noqa: FBT003
            When(last_worn_at__gt=F("last_wash_at"), then=Value(True)),  # noqa: FBT003
            default=Value(False),  # noqa: FBT003
        )
    )
