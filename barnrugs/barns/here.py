"""Which barn, and who the signed-in user is there: from the address, for every page under /barns/<slug>/."""

from collections.abc import Callable
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone, translation

from barnrugs.barns.models import Person


def leavers(view: Callable[..., Any]) -> Callable[..., Any]:
    """Marks a view that also hears people who have left the barn."""
    view.leavers = True  # type: ignore[attr-defined]
    return view


def _refuse_nul(request: HttpRequest) -> None:
    """No address of ours holds a NUL, and PostgreSQL takes none in a text; what is sent by POST, forms refuse."""
    if "%00" in request.get_full_path():
        raise Http404


class HereMiddleware:
    """Takes the slug out of the address and puts request.barn and request.person in its place; a stranger gets 404.

    So does whoever left, save at a view marked `leavers`, which looks at left_at itself.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.barn = None  # type: ignore[attr-defined]
        request.person = None  # type: ignore[attr-defined]
        try:
            return self.get_response(request)
        finally:
            timezone.deactivate()

    def process_view(
        self, request: HttpRequest, view: Callable[..., Any], args: list[Any], kwargs: dict[str, Any]
    ) -> None:
        _refuse_nul(request)
        slug = kwargs.pop("slug", None)
        if slug is None or not request.user.is_authenticated:
            return
        known = Person.objects.select_related("barn", "user").filter(barn__slug=slug, user=request.user)
        person = known.filter(left_at__isnull=True).first()
        if person is None and getattr(view, "leavers", False):
            person = known.first()
        if person is None:
            raise Http404
        request.person = person  # type: ignore[attr-defined]
        request.barn = person.barn  # type: ignore[attr-defined]
        timezone.activate(person.barn.zone)
        translation.activate(request.user.language)
        request.LANGUAGE_CODE = translation.get_language()
