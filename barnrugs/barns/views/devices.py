"""Shared phones as managers see them, and one's own PIN for them."""

from typing import cast

import segno
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.crypto import salted_hmac
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access
from barnrugs.barns.domain import devices as domain
from barnrugs.barns.domain.invitations import digest_of
from barnrugs.barns.domain.once import OtherContent, do_once
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.forms.devices import DeviceForm, PinForm, RevokeForm
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Device, Person
from barnrugs.barns.queries import devices as queries
from barnrugs.barns.this_device import BY_PIN
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from barnrugs.barns.views.writing import actor_of


@require_safe
def devices(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "change", Device)
    shown = {"devices": queries.of(request.barn), "users": queries.who_may_use(request.barn)}
    return render(request, "barns/devices.html", shown)


@require_http_methods(BOTH)
def device_add(request: HttpRequest) -> HttpResponse:
    """Enrols a phone. The answer is the code to type into it: it is kept nowhere."""
    access.demand(request.person, "add", Device)
    form = DeviceForm(sent(request))
    page = Page(
        heading=_("Enrol a phone"),
        intro=_(
            "A phone that several people use. They choose their name and type their PIN; "
            "the journal says who did something, on which phone."
        ),
        submit=_("Enrol it"),
        back=_list(request),
    )

    def call(actor: Actor) -> Device:
        return domain.enrol(form.cleaned_data["name"], code=domain.code_for(form.cleaned_data["once"]), actor=actor)

    done = form_page(request, form, page, call)
    return slip(request, domain.code_for(form.cleaned_data["once"])) if done.status_code == 302 else done


def slip(request: HttpRequest, code: str) -> HttpResponse:
    device = Device.objects.filter(barn=request.barn, code_digest=digest_of(code)).first()
    if device is None:
        messages.info(request, _("This code was used already. The phone is enrolled."))
        return redirect("devices", request.barn.slug)
    address = request.build_absolute_uri(reverse("phone_enrol"))
    picture = segno.make(f"{address}?code={code}", error="m").svg_inline(scale=4, border=2, omitsize=False)
    # segno draws the code from our own address, nothing in it is typed by a person
    shown = {"device": device, "code": code, "address": address, "picture": mark_safe(picture)}  # noqa: S308
    return render(request, "barns/device_slip.html", shown)


@require_http_methods(BOTH)
def device_change(request: HttpRequest, pk: int) -> HttpResponse:
    device = access.fetch(request.person, Device, pk, "change")
    form = DeviceForm(sent(request), initial={"name": device.name})
    page = Page(heading=_("Name of %(name)s") % {"name": device}, submit=_("Save"), back=_list(request))
    return form_page(
        request, form, page, lambda actor: domain.rename(device, name=form.cleaned_data["name"], actor=actor)
    )


@require_http_methods(BOTH)
def device_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    device = access.fetch(request.person, Device, pk, "change")
    form = RevokeForm(sent(request))
    page = Page(
        heading=_("Revoke %(name)s") % {"name": device},
        intro=_(
            "For a phone that is lost, sold or broken. From now on it opens no page. What it has not sent yet is not "
            "applied: it comes before you as a question. At its next contact it forgets the pages it kept."
        ),
        submit=_("Revoke it"),
        back=_list(request),
        said=_("%(name)s is revoked.") % {"name": device},
    )
    return form_page(
        request, form, page, lambda actor: domain.revoke(device, actor=actor, why=form.cleaned_data["why"])
    )


@sensitive_post_parameters("pin", "again")
@require_http_methods(BOTH)
def my_pin(request: HttpRequest) -> HttpResponse:
    """Sets one's own PIN; only where one signed in with a password, so that a PIN does not make another PIN."""
    access.demand(request.person, "use_pin", Person)
    if request.session.get(BY_PIN):
        return render(request, "barns/pin_elsewhere.html", status=403)
    form = PinForm(sent(request))
    if request.method == "POST" and form.is_valid() and _set(request, form):
        messages.success(request, _("Your PIN is set. Use it on the barn's shared phones."))
        return redirect("account")
    page = Page(
        heading=_("My PIN for shared phones"),
        intro=_(
            "On a phone that the barn shares you choose your name and type this PIN. "
            "It opens only what staff see there, never your account."
        ),
        submit=_("Set this PIN"),
        back=reverse("account"),
    )
    return render(request, page.template, {"form": form, **vars(page)})


def _set(request: HttpRequest, form: PinForm) -> bool:
    """As `perform` does it, but the sender's digest is keyed: a plain one of so few figures could be guessed back."""
    given, actor = form.cleaned_data, actor_of(request)
    digest = salted_hmac("barnrugs.pin", given["pin"], algorithm="sha256").hexdigest()
    try:
        do_once(
            actor, given["once"], digest, lambda: str(domain.set_pin(actor.person, pin=given["pin"], actor=actor).pk)
        )
    except Refused as refused:
        form.add_error(cast(str, refused.field), refused.sentence)
        return False
    except OtherContent:
        form.add_error(None, _("This form was sent before with another PIN. Please open the page again."))
        return False
    return True


def _list(request: HttpRequest) -> str:
    return reverse("devices", args=[request.barn.slug])
