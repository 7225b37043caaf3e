"""Questions to the manager that wait for an answer, and those that have one."""

from collections.abc import Sequence

from django.db.models import Q, QuerySet
from django.utils import timezone

from barnrugs.barns.models import Barn
from inventory.models import ListLine, Question, Wearing
from inventory.queries import lists as list_queries


def _of(barn: Barn) -> QuerySet[Question]:
    return Question.objects.filter(barn=barn).select_related("person", "device", "horse", "answered_by")


def waiting(barn: Barn) -> QuerySet[Question]:
    """The oldest first, as they happened."""
    return _of(barn).filter(answer="").order_by("there_at", "pk")


def wearings(barn: Barn, questions: Sequence[Question]) -> QuerySet[Wearing]:
    """What their horses and blankets wear now, or put on or off since the earliest of what they are about."""
    earliest = min((question.there_at for question in questions), default=timezone.now())
    tags = {tag for question in questions for tag in question.tags}
    theirs = Q(horse__in={question.horse_id for question in questions}) | Q(blanket__tag__in=tags)
    since = Q(off_at__isnull=True) | Q(on_at__gt=earliest) | Q(off_at__gt=earliest)
    return Wearing.objects.filter(theirs, since, barn=barn).select_related("horse", "blanket").order_by("pk")


def lines(questions: Sequence[Question]) -> QuerySet[ListLine]:
    """What lists say that their horses wore at any time after the earliest of what they are about, the last first."""
    earliest = min((question.there_at for question in questions), default=timezone.now())
    return list_queries.noted_after({question.horse_id for question in questions if question.horse_id}, earliest)


def answered(barn: Barn, count: int = 20) -> QuerySet[Question]:
    return _of(barn).exclude(answer="").order_by("-answered_at", "-pk")[:count]
