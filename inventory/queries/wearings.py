"""Who wears what, now and before."""

from datetime import datetime

from django.db.models import Q, QuerySet

from barnrugs.barns.models import Barn
from horses.models import Horse
from inventory.models import Blanket, Wearing


def open_in(barn: Barn) -> QuerySet[Wearing]:
    return Wearing.objects.filter(barn=barn, off_at__isnull=True).select_related("blanket", "horse").order_by("layer")


def open_on(horse: Horse) -> QuerySet[Wearing]:
    return Wearing.objects.filter(horse=horse, off_at__isnull=True).select_related("blanket").order_by("layer")


def ended_on(horse: Horse, since: datetime | None) -> QuerySet[Wearing]:
    """What came off a horse at a moment or after it."""
    return Wearing.objects.filter(horse=horse, off_at__gte=since).select_related("blanket").order_by("off_at", "pk")


def open_of(blanket: Blanket) -> Wearing | None:
    return Wearing.objects.filter(blanket=blanket, off_at__isnull=True).select_related("horse", "on_by").first()


def neck_at(horse: Horse, at: datetime) -> bool:
    """Whether the horse wore a neck at a moment."""
    worn = Wearing.objects.filter(Q(off_at__isnull=True) | Q(off_at__gt=at), horse=horse, on_at__lte=at)
    return worn.filter(neck_on=True).exists()


def tags_at(horse: Horse, at: datetime) -> list[str]:
    """What the horse wore at a moment, innermost first."""
    worn = Wearing.objects.filter(Q(off_at__isnull=True) | Q(off_at__gt=at), horse=horse, on_at__lte=at)
    return list(worn.order_by("layer").values_list("blanket__tag", flat=True))
