"""Batches to the cleaner or repairer: what can go, what is out, what is still to be checked in."""

from typing import Self

from django.db.models import BooleanField, Count, Exists, ExpressionWrapper, F, OuterRef, Q, QuerySet, Subquery

from barnrugs.barns.models import Barn, Person
from inventory.enums import CareDecision, CareStep, CareWord, CheckOutcome
from inventory.models import Batch, BatchLine, CareJob, CareMove, Picture, Wearing
from inventory.models.care import OFF_SITE
from inventory.queries import care

OPEN = Q(outcome__in=["", CheckOutcome.MISSING])
CHECKED_BY = (CareWord.CHECK_IN, CareWord.MISS)
"""The steps that say on a batch's list how a line came back."""


def of(barn: Barn) -> "BatchQuerySet":
    return BatchQuerySet(Batch).filter(barn=barn)


class BatchQuerySet(QuerySet[Batch]):
    def counted(self) -> Self:
        """Adds how many lines a batch has, how many are still open, and how many of these are missing."""
        still_open = Q(lines__outcome__in=["", CheckOutcome.MISSING])
        return self.annotate(
            many=Count("lines"),
            open=Count("lines", filter=still_open),
            missing=Count("lines", filter=Q(lines__outcome=CheckOutcome.MISSING)),
            not_done=Count("lines", filter=Q(lines__outcome=CheckOutcome.NOT_DONE)),
        )


def can_go(barn: Barn) -> "QuerySet[CareJob]":
    """Work decided to be sent out, bagged or not, that is on no open list yet."""
    listed = BatchLine.objects.filter(OPEN, job=OuterRef("pk"))
    return (
        care.of(barn)
        .filter(step__in=[CareStep.DECIDED, CareStep.BAGGED])
        .exclude(decision=CareDecision.HERE)
        .exclude(Exists(listed))
        .select_related("blanket__owner", "blanket__usual_horse")
        .order_by("blanket__tag", "-kind")
    )


def unlisted(barn: Barn) -> "QuerySet[CareJob]":
    """Work that is away, or back and not checked, and on no open list: it was handed over by itself."""
    listed = BatchLine.objects.filter(OPEN, job=OuterRef("pk"))
    return care.of(barn).filter(step__in=[*OFF_SITE, CareStep.BACK]).exclude(Exists(listed))


def lines(batch: Batch) -> "QuerySet[BatchLine]":
    """A batch's lines; `may_go_back`: the check-in is the last step of the line's work, and no horse wore it since."""
    last = CareMove.objects.filter(job=OuterRef("job")).order_by("-pk")
    worn = Wearing.objects.filter(blanket=OuterRef("job__blanket"), on_at__gt=OuterRef("checked_at"))
    may_go_back = Q(~Exists(worn), last_word__in=CHECKED_BY, last_at=F("checked_at"))
    pictures = Picture.objects.filter(blanket=OuterRef("job__blanket"), removed_at__isnull=True)
    return (
        BatchLine.objects.filter(batch=batch)
        .annotate(picture_id=Subquery(pictures.values("pk")[:1]))
        .annotate(last_word=Subquery(last.values("word")[:1]), last_at=Subquery(last.values("at")[:1]))
        .annotate(may_go_back=ExpressionWrapper(may_go_back, output_field=BooleanField()))
        .select_related("job__blanket__owner", "job__blanket__usual_horse", "checked_by")
        .order_by("job__blanket__tag", "pk")
    )


def managers(barn: int) -> "QuerySet[Person]":
    """Whom a cleaner asks: the barn's managers, by name."""
    return Person.objects.filter(barn=barn, is_manager=True, left_at__isnull=True).order_by("name", "pk")
