"""Which paddocks, and who stands there."""

from datetime import date

from django.db.models import Prefetch, QuerySet

from barnrugs.barns.models import Barn
from horses.models import Horse, Paddock, PaddockStay
from horses.queries.horse import OF_THE_BARN, current


def of(barn: Barn) -> QuerySet[Paddock]:
    return Paddock.objects.filter(barn=barn)


def with_company(barn: Barn, today: date) -> QuerySet[Paddock]:
    """Each with its stays of the day and their horses, in `now`."""
    stays = (
        PaddockStay.objects.filter(current(today), horse__presence__in=OF_THE_BARN)
        .select_related("horse")
        .order_by("horse__walk_order", "horse__name")
    )
    return of(barn).prefetch_related(Prefetch("stays", queryset=stays, to_attr="now"))


def open_stay(horse: Horse) -> PaddockStay | None:
    return PaddockStay.objects.filter(horse=horse, until__isnull=True).select_related("paddock").first()


def has_paddocks(barn: Barn) -> bool:
    return of(barn).exists()
