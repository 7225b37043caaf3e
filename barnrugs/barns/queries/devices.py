"""Which shared phones, and who may use one."""

from uuid import UUID

from django.db.models import Q, QuerySet

from barnrugs.barns.models import Barn, Device, Person


def of(barn: Barn) -> QuerySet[Device]:
    """Every phone, the revoked ones last."""
    return Device.objects.filter(barn=barn).order_by("revoked_at", "name", "pk")


def by_key(key: UUID) -> Device | None:
    return Device.objects.select_related("barn").filter(key=key, came_in_at__isnull=False).first()


def who_may_use(barn: Barn) -> QuerySet[Person]:
    """Staff and managers who are here, can sign in and have set a PIN."""
    works = Q(is_staff=True) | Q(is_manager=True)
    return Person.objects.filter(works, barn=barn, left_at__isnull=True, user__is_active=True).exclude(pin="")
