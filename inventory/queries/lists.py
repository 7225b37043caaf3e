"""Lists of the staffed times and their lines."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from django.db.models import Count, Prefetch, Q, QuerySet

from barnrugs.barns.models import Barn
from horses.enums import Presence
from horses.models import Horse
from inventory.enums import LineOutcome
from inventory.models import ChangeList, ListLine

LATE = timedelta(hours=24)
"""What is still open after this long is no longer shown as to be done."""


def of(barn: Barn) -> QuerySet[ChangeList]:
    return ChangeList.objects.filter(barn=barn)


def lines(change_list: ChangeList) -> QuerySet[ListLine]:
    return ListLine.objects.filter(change_list=change_list).select_related("horse", "done_by").order_by("order", "pk")


def to_do(found: QuerySet[ListLine]) -> QuerySet[ListLine]:
    """Without the open lines of horses that left since: away, laid up, sold."""
    return found.filter(Q(horse__presence=Presence.HERE) | ~Q(outcome=""))


def with_progress(found: QuerySet[ChangeList]) -> QuerySet[ChangeList]:
    """Adds how many lines there are, done, done otherwise and left undone with a reason."""
    here = Q(lines__horse__presence=Presence.HERE) | ~Q(lines__outcome="")
    return found.annotate(
        all_lines=Count("lines", filter=here),
        done_lines=Count("lines", filter=Q(lines__outcome="done")),
        other_lines=Count("lines", filter=Q(lines__outcome="other")),
        left_lines=Count("lines", filter=Q(lines__outcome="not_done")),
        open_lines=Count("lines", filter=here & Q(lines__outcome="")),
    )


def promised(barn: Barn, day: date, session: str, but: Horse) -> dict[str, str]:
    """Which blankets the open lines of other horses on one list count on: tag to the horse's name."""
    theirs = ListLine.objects.filter(barn=barn, change_list__day=day, change_list__session=session, outcome="")
    found = to_do(theirs).exclude(horse=but).select_related("horse").order_by("-order", "pk")
    return {tag: line.horse.name for line in found for tag in line.tags_to}


def note_before(change_list: ChangeList) -> ChangeList | None:
    """The last list before this one, if its shift left a note."""
    before = ChangeList.objects.filter(
        barn=change_list.barn_id, due_at__lt=change_list.due_at, due_at__gte=change_list.due_at - LATE
    ).exclude(note="")
    return before.select_related("note_by").order_by("-due_at").first()


def noted_after(horses: Iterable[int], at: datetime, *, but: ListLine | None = None) -> QuerySet[ListLine]:
    """Lines of these horses that say what each wore at a later moment, the last of them first.

    Not done is none: whoever noted that left the horse as it was, whatever that is.
    """
    said = ListLine.objects.filter(horse__in=horses, done_at__gt=at).exclude(outcome=LineOutcome.NOT_DONE)
    said = said.exclude(pk=but.pk) if but else said
    return said.select_related("horse", "done_by").order_by("-done_at", "-pk")


def between(barn: Barn, start: datetime, end: datetime) -> QuerySet[ChangeList]:
    """Lists due from start up to end, in order."""
    return of(barn).filter(due_at__gte=start, due_at__lt=end).order_by("due_at")


def recent(barn: Barn, before: datetime, count: int) -> QuerySet[ChangeList]:
    """The last lists that were due before a moment, latest first, with their lines."""
    found = of(barn).filter(due_at__lt=before).order_by("-due_at")[:count]
    return found.prefetch_related(Prefetch("lines", ListLine.objects.select_related("horse", "done_by")))
