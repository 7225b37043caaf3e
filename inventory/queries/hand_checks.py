"""Hand checks of a horse."""

from django.db.models import QuerySet

from horses.models import Horse
from inventory.models import HandCheck


def of(horse: Horse) -> QuerySet[HandCheck]:
    """Latest first, those taken back among them."""
    return HandCheck.objects.filter(horse=horse).select_related("by").order_by("-at", "-pk")
