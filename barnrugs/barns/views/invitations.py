import logging
import smtplib
from typing import cast

import segno
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.core.mail import EmailMessage
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from barnrugs.barns import access, rate
from barnrugs.barns.domain import invitations as domain
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.forms.people import AcceptForm, CodeForm, InvitationForm
from barnrugs.barns.models import Invitation, Person, User
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent

LOG = logging.getLogger(__name__)
OUR_BACKEND = "allauth.account.auth_backends.AuthenticationBackend"


@require_http_methods(BOTH)
def invite(request: HttpRequest, pk: int) -> HttpResponse:
    """Lets somebody in by letter, or by a slip to print. The answer is the slip itself: the code is kept nowhere."""
    person = access.fetch(request.person, Person, pk, "change")
    access.demand(request.person, "add", Invitation)
    form = InvitationForm(sent(request))
    page = Page(
        heading=_("Let %(name)s in") % {"name": person},
        intro=_("The invitation holds for 72 hours and lets one person in, once. An earlier one no longer holds then."),
        submit=_("Make the invitation"),
        back=reverse("people", args=[request.barn.slug]),
    )
    made: list[Invitation] = []
    done = form_page(
        request,
        form,
        page,
        lambda actor: made.append(domain.invite(person, code=form.code_for(person), email=form.address, actor=actor)),
    )
    if done.status_code != 302:
        return done
    if not form.address:
        return slip(request, person, form.code_for(person))
    return by_letter(request, person, form, done) if made else done


def slip(request: HttpRequest, person: Person, code: str, note: str = "") -> HttpResponse:
    invitation = Invitation.objects.filter(person=person, digest=domain.digest_of(code), used_at__isnull=True).first()
    if invitation is None:
        messages.info(request, _("This invitation no longer holds. Make a new one."))
        return redirect("people", request.barn.slug)
    address = request.build_absolute_uri(reverse("come_in_by", args=[code]))
    return render(
        request,
        "barns/invitation_slip.html",
        {
            "invited": person,
            "code": code,
            "invitation": invitation,
            "address": request.build_absolute_uri(reverse("come_in")),
            "note": note,
            # segno draws the code from our own address, nothing in it is typed by a person
            "picture": mark_safe(segno.make(address, error="m").svg_inline(scale=4, border=2, omitsize=False)),  # noqa: S308
        },
    )


def by_letter(request: HttpRequest, person: Person, form: InvitationForm, done: HttpResponse) -> HttpResponse:
    """Sends the letter after the write is kept, so that a slow post office holds up nobody."""
    code = form.code_for(person)
    told = {
        "invited": person,
        "barn": person.barn,
        "inviter": request.person,
        "code": code,
        "address": request.build_absolute_uri(reverse("come_in_by", args=[code])),
    }
    subject = _("An invitation to %(barn)s") % {"barn": person.barn}
    text = render_to_string("barns/mail/invitation.txt", told)
    try:
        EmailMessage(" ".join(subject.split()), text, to=[form.address]).send()
    except (smtplib.SMTPException, OSError):
        LOG.exception("an invitation could not be posted")
        return slip(request, person, code, _("The letter could not be sent. Hand over this slip instead."))
    messages.success(request, _("The invitation for %(name)s is on its way.") % {"name": person})
    return done


@login_not_required
@require_http_methods(BOTH)
def come_in(request: HttpRequest) -> HttpResponse:
    """Where somebody types the code of their slip."""
    form = CodeForm(sent(request))
    if rate.too_often(request, "invitation"):
        return too_often(request)
    if request.method == "POST" and form.is_valid():
        try:
            domain.find(form.cleaned_data["code"], timezone.now())
        except Refused as refused:
            rate.count(request, "invitation")
            form.add_error(refused.field, refused.sentence)
        else:
            return redirect("come_in_by", form.cleaned_data["code"].strip())
    return render(request, "barns/come_in.html", {"form": form})


@login_not_required
@sensitive_post_parameters("password", "again")
@require_http_methods(BOTH)
def come_in_by(request: HttpRequest, code: str) -> HttpResponse:
    """Where an invitation is taken up: by somebody new, or by whoever is signed in."""
    if rate.too_often(request, "invitation"):
        return too_often(request)
    try:
        invitation = domain.find(code, timezone.now())
    except Refused as refused:
        return no_door(request, refused)
    known = request.user.is_authenticated
    form = OnceForm(sent(request)) if known else AcceptForm(sent(request))
    if request.method == "POST" and form.is_valid():
        try:
            person = take_up(request, code, form)
        except Refused as refused:
            form.add_error(refused.field if refused.field in form.fields else None, refused.sentence)
        else:
            messages.success(request, _("Welcome to %(barn)s.") % {"barn": person.barn})
            return redirect("landing")
    return render(request, "barns/come_in_by.html", {"form": form, "invitation": invitation, "known": known})


def take_up(request: HttpRequest, code: str, form: OnceForm | AcceptForm) -> Person:
    now = timezone.now()
    if isinstance(form, AcceptForm):
        person = domain.accept_as_new(code, account=form.account(), now=now)
        login(request, person.user, backend=OUR_BACKEND)
        return person
    return domain.accept(code, user=signed_in(request), now=now)


def signed_in(request: HttpRequest) -> User:
    return cast(User, request.user)


def no_door(request: HttpRequest, refused: Refused) -> HttpResponse:
    """A form sent twice by somebody who is in already leads on; any other wrong code counts as a try."""
    if request.method == "POST" and request.user.is_authenticated:
        return redirect("landing")
    rate.count(request, "invitation")
    form = CodeForm({"code": ""})
    form.full_clean()
    form.errors.clear()
    form.add_error("code", refused.sentence)
    return render(request, "barns/come_in.html", {"form": form}, status=404)


def too_often(request: HttpRequest) -> HttpResponse:
    return render(request, "barns/too_often.html", status=429)
