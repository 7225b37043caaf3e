"""Who was out with a horse, and which blankets on horses must come off now."""

from datetime import date, datetime

from django.db.models import Exists, F, OuterRef, Q, QuerySet

from barnrugs.barns.models import Barn
from horses.models import Horse, PaddockStay
from inventory.enums import CareStep
from inventory.models import Blanket, CareJob, Wearing


def company(horse: Horse, on: date) -> list[Horse]:
    """The other horses that shared this horse's paddock on that day."""
    stays = PaddockStay.objects.filter(since__lte=on).filter(Q(until__isnull=True) | Q(until__gte=on))
    paddocks = stays.filter(horse=horse).values("paddock")
    return list(Horse.objects.filter(stays__in=stays.filter(paddock__in=paddocks)).exclude(pk=horse.pk).distinct())


def wore_last(blanket: Blanket, at: datetime) -> Horse | None:
    """The horse that wears it, or wore it last before."""
    worn = Wearing.objects.filter(blanket=blanket, on_at__lte=at).select_related("horse")
    found = worn.order_by(F("off_at").desc(nulls_first=True), "-pk").first()
    return found.horse if found else None


def must_come_off(barn: Barn) -> QuerySet[Wearing]:
    """On a horse now: blankets marked do not use, and those found soaked, waterproof or not.

    Adds `unsafe`: whether it is marked do not use.
    """
    unsafe = CareJob.objects.filter(blanket=OuterRef("blanket_id"), closed_at__isnull=True, do_not_use=True)
    return (
        Wearing.objects.filter(barn=barn, off_at__isnull=True)
        .annotate(unsafe=Exists(unsafe.exclude(step=CareStep.LOST)))
        .filter(Q(unsafe=True) | Q(soaked_at__isnull=False))
        .select_related("horse", "blanket")
        .order_by("horse__walk_order", "horse__name", "layer")
    )
