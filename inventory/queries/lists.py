"""Lists of the staffed times and their lines."""

from datetime import datetime

from django.db.models import Count, Prefetch, Q, QuerySet

from barnrugs.barns.models import Barn
from inventory.models import ChangeList, ListLine


def of(barn: Barn) -> QuerySet[ChangeList]:
    return ChangeList.objects.filter(barn=barn)


def lines(change_list: ChangeList) -> QuerySet[ListLine]:
    return ListLine.objects.filter(change_list=change_list).select_related("horse", "done_by").order_by("order", "pk")


def with_progress(found: QuerySet[ChangeList]) -> QuerySet[ChangeList]:
    """Adds how many lines there are, done, done otherwise and left undone with a reason."""
    return found.annotate(
        all_lines=Count("lines"),
        done_lines=Count("lines", filter=Q(lines__outcome="done")),
        other_lines=Count("lines", filter=Q(lines__outcome="other")),
        left_lines=Count("lines", filter=Q(lines__outcome="not_done")),
        open_lines=Count("lines", filter=Q(lines__outcome="")),
    )


def recent(barn: Barn, before: datetime, count: int) -> QuerySet[ChangeList]:
    """The last lists that were due before a moment, latest first, with their lines."""
    found = of(barn).filter(due_at__lt=before).order_by("-due_at")[:count]
    return found.prefetch_related(Prefetch("lines", ListLine.objects.select_related("horse", "done_by")))
