"""What the first pages of a manager and an owner show, in a constant number of queries."""

from datetime import datetime, timedelta

from django.db.models import Q, QuerySet

from barnrugs.barns.models import Barn, Person
from horses.enums import Presence
from horses.models import Horse
from horses.rules import held_on
from inventory.enums import CareStep, CheckOutcome, DecidedBy, LineOutcome
from inventory.models import CareJob, Chart, ListLine, Wearing

A_DAY = timedelta(hours=24)
A_WEEK = timedelta(days=7)
LOOKED_BACK = timedelta(days=60)

LINES = ListLine.objects.select_related("change_list", "horse", "done_by")


def left(barn: Barn, at: datetime, before: datetime) -> QuerySet[ListLine]:
    """Lines of the last day that were left, with the reason, and those still open on lists before the one at hand."""
    not_done = Q(outcome=LineOutcome.NOT_DONE)
    late = Q(outcome="", change_list__due_at__lt=before, horse__presence=Presence.HERE)
    found = LINES.filter(not_done | late, barn=barn, change_list__due_at__gt=at - A_DAY)
    return found.order_by("-change_list__due_at", "order")


def ahead(barn: Barn, since: datetime, until: datetime) -> QuerySet[ListLine]:
    """Open lines of the lists made for the coming time, in order."""
    due = Q(change_list__due_at__gte=since, change_list__due_at__lte=until)
    return LINES.filter(due, barn=barn, outcome="", horse__presence=Presence.HERE).order_by(
        "change_list__due_at", "order"
    )


def otherwise(barn: Barn, at: datetime) -> QuerySet[ListLine]:
    """What was done otherwise in the last week than the owner's chart or the veterinarian's note said."""
    decided = (DecidedBy.OWNER, DecidedBy.VET)
    found = LINES.filter(barn=barn, outcome=LineOutcome.OTHER, decided_by__in=decided, done_at__gt=at - A_WEEK)
    return found.order_by("-done_at")


def disputed(barn: Barn) -> QuerySet[CareJob]:
    """Open work that came back damaged, did not come back, or whose quote was declined."""
    wrong = Q(outcome__in=[CheckOutcome.MISSING, CheckOutcome.DAMAGED]) | Q(step=CareStep.DECLINED)
    return CareJob.objects.filter(wrong, barn=barn, closed_at__isnull=True).select_related("blanket").order_by("pk")


def to_be_covered(barn: Barn) -> QuerySet[Horse]:
    return Horse.objects.filter(barn=barn, presence=Presence.HERE, must_be_covered=True).order_by("walk_order", "name")


def mine(person: Person) -> QuerySet[Horse]:
    """Horses that this person owns or leases, in walking order."""
    held = Horse.objects.filter(held_on(person), barn=person.barn_id)
    gone = (Presence.SOLD, Presence.DEAD)
    return Horse.objects.filter(pk__in=held.values("pk")).exclude(presence__in=gone).order_by("walk_order", "name")


def changes(horses: list[int], at: datetime) -> QuerySet[Wearing]:
    """What went on or came off these horses of late, and all that is on."""
    lately = Q(off_at__isnull=True) | Q(off_at__gt=at - LOOKED_BACK)
    found = Wearing.objects.filter(lately, horse__in=horses)
    return found.select_related("blanket", "on_by", "off_by").order_by("layer", "pk")


def noted(horses: list[int], at: datetime) -> QuerySet[ListLine]:
    """What was noted on lists for these horses, the latest first, and what is still to come."""
    recent = Q(done_at__gt=at - A_WEEK) | Q(outcome="", change_list__due_at__gt=at - timedelta(hours=4))
    return LINES.filter(recent, horse__in=horses).order_by("change_list__due_at", "pk")


def decisions_of(person: Person) -> QuerySet[CareJob]:
    """Work that this person pays and must decide about."""
    from inventory.queries import care

    return care.of(person.barn).open().waiting().filter(payer=person).select_related("blanket").order_by("reported_at")


def unsafe_of(person: Person) -> QuerySet[CareJob]:
    unsafe = CareJob.objects.filter(barn=person.barn_id, do_not_use=True, closed_at__isnull=True)
    return unsafe.filter(blanket__owner=person).select_related("blanket").order_by("reported_at")


def charts_to_read(horses: list[int]) -> QuerySet[Chart]:
    return Chart.objects.filter(horse__in=horses, until__isnull=True, read_again=True).select_related("horse")
