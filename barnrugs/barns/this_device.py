"""Which enrolled phone a request comes from, by a signed cookie; and what a person may do who came in there by a PIN.

Four figures open less than a password does: whoever came in by a PIN works as staff of that phone's barn, whatever else
they are, for as long as they work there, and reaches no page of their account.
"""

import uuid
from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.contrib.auth import logout
from django.core import signing
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect

from barnrugs.barns.models import Device, Person
from barnrugs.barns.queries import devices

COOKIE = "barnrugs_phone"
SALT = "barnrugs.phone"
TWO_YEARS_S = 2 * 365 * 24 * 3600
BY_PIN = "by_pin"
BY_PIN_LASTS_S = 12 * 3600
OPEN_TO_ALL = {"account_logout", "this_phone", "phone_enrol", "token", "worker", "manifest", "favicon", "no_signal"}


class ThisDeviceMiddleware:
    """Puts request.device on every request; a revoked phone stands in request.revoked_device instead."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        known = named_in(request)
        revoked = known is not None and known.revoked_at is not None
        request.device = None if revoked else known  # type: ignore[attr-defined]
        request.revoked_device = known if revoked else None  # type: ignore[attr-defined]
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Callable[..., Any], args: list[Any], kwargs: dict[str, Any]
    ) -> HttpResponse | None:
        barn = getattr(request, "barn", None)
        device: Device | None = request.device  # type: ignore[attr-defined]
        if device and barn and device.barn_id != barn.pk:
            request.device = None  # type: ignore[attr-defined]
        by_pin = request.session.get(BY_PIN)
        if not by_pin or not request.user.is_authenticated:
            return None
        if device is None or str(device.key) != by_pin:
            return _sign_out(request, view)
        if barn is None:
            return None if _named(request) in OPEN_TO_ALL else redirect("this_phone")
        if device.barn_id != barn.pk:
            raise Http404
        works_here = narrow(request.person).is_staff  # type: ignore[attr-defined]
        return None if works_here else _sign_out(request, view)


def _sign_out(request: HttpRequest, view: Callable[..., Any]) -> HttpResponse | None:
    """Whatever still answers, answers nobody: the person of this request was found before, with all their roles."""
    logout(request)
    request.person = request.barn = None  # type: ignore[attr-defined]
    return None if _named(request) in OPEN_TO_ALL or hasattr(view, "leavers") else redirect("this_phone")


def _named(request: HttpRequest) -> str:
    return (request.resolver_match and request.resolver_match.url_name) or ""


def narrow(person: Person) -> Person:
    """Staff and nothing else, for this request, or nothing at all if they are neither staff nor manager.

    Never saved: partial writes name their fields.
    """
    works_here = person.is_staff or person.is_manager
    person.is_manager, person.is_owner, person.is_staff = False, False, works_here
    return person


def named_in(request: HttpRequest) -> Device | None:
    """The phone of the request's cookie, whether revoked or not; None without a cookie that we signed."""
    if COOKIE not in request.COOKIES:
        return None
    try:
        key = signing.Signer(salt=SALT).unsign(request.COOKIES[COOKIE])
    except signing.BadSignature:
        return None
    return devices.by_key(uuid.UUID(key))


def remember(response: HttpResponse, device: Device) -> None:
    response.set_cookie(
        COOKIE,
        signing.Signer(salt=SALT).sign(str(device.key)),
        max_age=TWO_YEARS_S,
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Lax",
    )
