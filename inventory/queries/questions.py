"""Questions to the manager that wait for an answer, and those that have one."""

from django.db.models import QuerySet

from barnrugs.barns.models import Barn
from inventory.models import Question


def _of(barn: Barn) -> QuerySet[Question]:
    return Question.objects.filter(barn=barn).select_related("person", "device", "horse", "answered_by")


def waiting(barn: Barn) -> QuerySet[Question]:
    """The oldest first, as they happened."""
    return _of(barn).filter(answer="").order_by("there_at", "pk")


def answered(barn: Barn, count: int = 20) -> QuerySet[Question]:
    return _of(barn).exclude(answer="").order_by("-answered_at", "-pk")[:count]
