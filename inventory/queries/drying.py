"""What hangs to dry, and what is on horses in the rain."""

from datetime import datetime, timedelta

from django.db.models import Count, QuerySet

from barnrugs.barns.models import Barn
from inventory.enums import Keeping
from inventory.models import Placing, Wearing


def hanging(barn: Barn, at: datetime) -> "QuerySet[Placing]":
    """Open placings of blankets that still dry, the first to be ready first."""
    since = at - timedelta(hours=barn.drying_hours)
    return (
        Placing.objects.filter(barn=barn, kind=Keeping.DRYING, until__isnull=True, since__gt=since)
        .select_related("blanket__owner", "blanket__usual_horse")
        .order_by("since", "pk")
    )


def worn(barn: Barn) -> "QuerySet[Wearing]":
    """Everything on a horse now, in walking order."""
    return (
        Wearing.objects.filter(barn=barn, off_at__isnull=True)
        .select_related("horse", "blanket")
        .order_by("horse__walk_order", "horse__name", "layer")
    )


PLACES = 6
"""So many places are offered as buttons."""


def places(barn: Barn, at: datetime) -> list[str]:
    """Where wet blankets of this barn were hung in the last year, the most used first."""
    hung = Placing.objects.filter(barn=barn, kind=Keeping.DRYING, since__gt=at - timedelta(days=365)).exclude(place="")
    counted = hung.values("place").annotate(times=Count("pk")).order_by("-times", "place")
    return list(counted.values_list("place", flat=True)[:PLACES])
