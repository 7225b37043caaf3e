"""The shared phone itself: takes up its code once, then asks who is at it; and what its script asks of the house."""

from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import rate
from barnrugs.barns.context import page_url
from barnrugs.barns.domain import devices as domain
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.forms.devices import PhoneCodeForm, WhoForm
from barnrugs.barns.models import Device, Person, User
from barnrugs.barns.queries import devices as queries
from barnrugs.barns.queries import people
from barnrugs.barns.this_device import BY_PIN, BY_PIN_LASTS_S, remember
from barnrugs.barns.views.invitations import OUR_BACKEND, too_often
from barnrugs.barns.views.pages import BOTH, sent

WRONG_PINS = 5


@login_not_required
@require_http_methods(BOTH)
def phone_enrol(request: HttpRequest) -> HttpResponse:
    """Where the code of an enrolled phone is typed, once; from then on the phone is known by a signed cookie."""
    if rate.too_often(request, "phone"):
        return too_often(request)
    form = PhoneCodeForm(sent(request), initial={"code": request.GET.get("code", "")})
    if request.method == "POST" and form.is_valid():
        try:
            device = domain.come_in(form.cleaned_data["code"], now=timezone.now())
        except Refused as refused:
            rate.count(request, "phone")
            form.add_error(refused.field, refused.sentence)
        else:
            response = redirect("this_phone")
            remember(response, device)
            return response
    return render(request, "barns/phone_enrol.html", {"form": form})


@login_not_required
@sensitive_post_parameters("pin")
@require_http_methods(BOTH)
def this_phone(request: HttpRequest) -> HttpResponse:
    """Who is at this phone: choose a name, type the PIN. Asked by script, the answer is what the phone keeps of it."""
    device: Device | None = request.device
    if device is None:
        return render(request, "barns/phone_unknown.html", status=404)
    users = list(queries.who_may_use(device.barn))
    form = WhoForm(sent(request), people=[(str(one.key), one.name) for one in users])
    if request.method == "POST" and form.is_valid():
        person = next(one for one in users if str(one.key) == form.cleaned_data["who"])
        if sentence := refusal(device, person, form.cleaned_data["pin"]):
            form.add_error("pin", sentence)
        else:
            come_in(request, device, person)
            return welcome(request, device, person)
    status = 422 if form.errors else 200
    if by_script(request) and form.errors:
        said = [str(sentence) for sentences in form.errors.values() for sentence in sentences]
        return JsonResponse({"said": " ".join(said)}, status=status)
    return render(request, "barns/this_phone.html", {"form": form, "device": device, "users": users}, status=status)


def by_script(request: HttpRequest) -> bool:
    return request.headers.get("Accept", "").startswith("application/json")


def refusal(device: Device, person: Person, pin: str) -> str:
    """Why this PIN does not open; after some wrong ones, nobody's does for a while."""
    key = f"pin:{device.pk}:{person.pk}"
    if rate.tries(key) >= WRONG_PINS:
        return _("Five wrong PINs. Wait a quarter of an hour, or sign in with your password.")
    if domain.is_pin_of(person, pin):
        rate.forget(key)
        return ""
    rate.count_one(key)
    return _("This is not the PIN of %(name)s.") % {"name": person}


def come_in(request: HttpRequest, device: Device, person: Person) -> None:
    login(request, person.user, backend=OUR_BACKEND)
    request.session[BY_PIN] = str(device.key)
    request.session.set_expiry(BY_PIN_LASTS_S)


def welcome(request: HttpRequest, device: Device, person: Person) -> HttpResponse:
    slug = device.barn.slug
    first = page_url("due", slug) or page_url("tonight", slug)
    if not by_script(request):
        return redirect(first)
    return JsonResponse(
        {
            "person": str(person.key),
            "name": person.name,
            "barn": slug,
            "first": first,
            "seal": domain.seal_key(device, person),
        }
    )


@login_not_required
@require_safe
def token(request: HttpRequest) -> HttpResponse:
    """The CSRF token of now, for a script that may have slept for a day: the cookie itself no script can read.

    Only our own pages can read the answer, so it opens nothing that a form of ours does not. clear: barns that this
    phone, or whoever is signed in on one of their own, no longer belongs to; a revoked phone is like one's own again to
    whoever signs in on it by password. users: who may use this shared phone.
    """
    user = request.user
    known = people.ever_of_user(user) if isinstance(user, User) else ()
    revoked: Device | None = request.revoked_device
    device: Device | None = request.device
    left = {one.barn.slug for one in known if one.left_at and not (device and device.barn_id == one.barn_id)}
    here = {one.barn.slug for one in known if not one.left_at}
    return JsonResponse(
        {
            "token": get_token(request),
            "now": round(timezone.now().timestamp() * 1000),
            "people": {person.barn.slug: str(person.key) for person in known},
            "clear": sorted(left | ({revoked.barn.slug} if revoked else set()) - here),
            "users": {device.barn.slug: [str(one.key) for one in queries.who_may_use(device.barn)]} if device else {},
        }
    )
