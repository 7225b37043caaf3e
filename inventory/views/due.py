"""Due now: the list of the staffed time at hand."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from inventory.domain import sessions
from inventory.views import lists


@require_safe
def due(request: HttpRequest) -> HttpResponse:
    return lists.show(request, sessions.at_hand(request.barn, timezone.now()))
