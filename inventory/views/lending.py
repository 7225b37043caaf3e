"""Lending out of the barn and back; leave for another horse within it."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from horses.queries.horse import today_in
from inventory.domain import leave as leave_domain
from inventory.domain import lending as domain
from inventory.domain import whereabouts
from inventory.enums import Where
from inventory.forms.blankets import WhyForm
from inventory.forms.fit import BringBackForm, LeaveForm, LendForm
from inventory.models import Blanket, Leave, Placing
from inventory.queries import blankets
from inventory.queries import fit as queries


def lending_page(blanket: Blanket, request: HttpRequest) -> str:
    return reverse("blanket_lending", args=[request.barn.slug, blanket.pk])


@require_safe
def blanket_lending(request: HttpRequest, pk: int) -> HttpResponse:
    """Who may use a blanket, who has it, and what this person may do about that."""
    known = blankets.of(request.barn).with_condition(request.barn, timezone.now()).select_related("owner")
    blanket = access.fetch(request.person, Blanket, pk, among=known)
    today = today_in(request.barn)
    return render(
        request,
        "inventory/lending.html",
        {
            "blanket": blanket,
            "where": whereabouts.phrase(blanket),
            "overdue": blanket.where == Where.LENT and blanket.back_due_on and blanket.back_due_on < today,
            "leaves": access.rows(request.person, Leave, among=queries.leaves_of(blanket, today)),
            "may_change": access.may(request.person, "change", blanket),
            "may_handle": access.may(request.person, "handle", blanket),
        },
    )


@require_http_methods(BOTH)
def lend_out(request: HttpRequest, pk: int) -> HttpResponse:
    blanket = access.fetch(request.person, Blanket, pk, "change")
    form = LendForm(sent(request))
    page = Page(
        heading=_("Lend %(blanket)s out") % {"blanket": blanket},
        intro=_("To somebody outside the barn. For a horse of the barn, give leave instead."),
        submit=_("It is lent"),
        back=lending_page(blanket, request),
    )
    return form_page(request, form, page, lambda actor: lend(blanket, form, actor))


def lend(blanket: Blanket, form: LendForm, actor: Actor) -> Placing:
    given = form.cleaned_data
    return domain.lend_out(blanket, to_whom=given["to_whom"], due_on=given["due_on"], why=given["why"], actor=actor)


@require_http_methods(BOTH)
def lent_back(request: HttpRequest, pk: int) -> HttpResponse:
    blanket = access.fetch(request.person, Blanket, pk, "handle")
    form = BringBackForm(sent(request))
    page = Page(
        heading=_("%(blanket)s is back") % {"blanket": blanket},
        intro=_("Look it over before it goes on a horse: tears, straps, another horse's dirt or skin trouble."),
        submit=_("It is here again"),
        back=lending_page(blanket, request),
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.bring_back(
            blanket, wet=form.cleaned_data["wet"], place=form.cleaned_data["place"], actor=actor
        ),
    )


@require_http_methods(BOTH)
def leave_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Only its owner or a manager lets others use a blanket."""
    blanket = access.fetch(request.person, Blanket, pk, "change")
    form = LeaveForm(sent(request), barn=request.barn, today=today_in(request.barn))
    page = Page(
        heading=_("Leave to use %(blanket)s") % {"blanket": blanket},
        intro=_("Without leave, a blanket is offered only for its owner's horses."),
        submit=_("Give leave"),
        back=lending_page(blanket, request),
    )
    return form_page(request, form, page, lambda actor: let(blanket, form, actor))


def let(blanket: Blanket, form: LeaveForm, actor: Actor) -> Leave:
    given = form.cleaned_data
    return leave_domain.give_leave(
        blanket, horse=given["horse"], since=given["since"], until=given["until"], actor=actor
    )


@require_http_methods(BOTH)
def leave_end(request: HttpRequest, pk: int, leave: int) -> HttpResponse:
    """The blanket is fetched and then its leave, so that the form sent twice finds its way when the leave is gone."""
    blanket = access.fetch(request.person, Blanket, pk, "change")
    given = Leave.objects.filter(blanket=blanket, pk=leave).select_related("blanket", "horse").first()
    if given is None and request.method != "POST":
        raise Http404
    names = {"blanket": blanket, "horse": leave_domain.for_whom(given.horse) if given else ""}
    page = Page(
        heading=_("End the leave of %(blanket)s for %(horse)s?") % names,
        intro=_("From today it is no longer offered there. If a horse wears it now, take it off."),
        submit=_("End the leave"),
        back=lending_page(blanket, request),
    )
    form = WhyForm(sent(request))
    return form_page(
        request, form, page, lambda actor: leave_domain.end_leave(given, why=form.cleaned_data["why"], actor=actor)
    )
