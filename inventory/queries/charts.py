"""Charts that hold, and the versions before them."""

from django.db.models import F, QuerySet

from barnrugs.barns.models import Barn
from horses.models import Horse
from inventory.models import Chart


def open_in(barn: Barn) -> QuerySet[Chart]:
    """The charts that hold now, of horses that are here or not; the house chart first, then in walking order."""
    found = Chart.objects.filter(barn=barn, until__isnull=True).select_related("horse").prefetch_related("rows")
    return found.order_by(F("horse__walk_order").asc(nulls_first=True), "horse__name", "pk")


def current(barn: Barn, horse: Horse | None) -> Chart | None:
    """The chart of a horse, or of the house, that holds now."""
    found = Chart.objects.filter(barn=barn, until__isnull=True).prefetch_related("rows")
    return found.filter(horse=horse).first() if horse else found.filter(horse__isnull=True).first()


def versions(barn: Barn, horse: Horse | None) -> QuerySet[Chart]:
    """Those that held once, the last one first."""
    found = Chart.objects.filter(barn=barn, until__isnull=False).prefetch_related("rows")
    found = found.filter(horse=horse) if horse else found.filter(horse__isnull=True)
    return found.order_by("-until", "-pk")


def to_read_again(barn: Barn) -> QuerySet[Chart]:
    """Charts whose horse was clipped since they were written or last read."""
    return Chart.objects.filter(barn=barn, until__isnull=True, read_again=True, horse__isnull=False).select_related(
        "horse"
    )
