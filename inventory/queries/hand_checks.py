"""Hand checks of a horse."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db.models import QuerySet

from horses.models import Horse
from inventory.models import HandCheck


def of(horse: Horse) -> QuerySet[HandCheck]:
    """Latest first, those taken back among them."""
    return HandCheck.objects.filter(horse=horse).select_related("by").order_by("-at", "-pk")


LATELY = timedelta(hours=2)


OF_THE_DAY = timedelta(hours=24)


def latest(horses: Iterable[int], at: datetime) -> dict[int, HandCheck]:
    """The latest of the last day, by horse."""
    found = HandCheck.objects.filter(horse__in=list(horses), at__gt=at - OF_THE_DAY, taken_back_at__isnull=True)
    return {check.horse_id: check for check in found.order_by("at", "pk")}
