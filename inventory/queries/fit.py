"""Fit notes and leaves that hold."""

from datetime import date

from django.db.models import Q, QuerySet

from horses.models import Horse
from inventory.models import Blanket, FitNote, Leave


def open_notes(horse: Horse) -> QuerySet[FitNote]:
    return FitNote.objects.filter(horse=horse, closed_on__isnull=True).select_related("blanket")


def leaves_of(blanket: Blanket, day: date) -> QuerySet[Leave]:
    """Leaves that hold on the day or begin later."""
    return Leave.objects.filter(Q(until__isnull=True) | Q(until__gte=day), blanket=blanket).select_related("horse")
