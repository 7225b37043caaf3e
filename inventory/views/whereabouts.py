"""What is said of a blanket in one tap: lost, found, dry, retired, back in use."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.pages import BOTH, Page, form_page
from inventory.domain import blankets as domain
from inventory.domain import care
from inventory.domain import wearing as wearing_domain
from inventory.forms.blankets import WhyForm
from inventory.models import Blanket


def _tapped(request: HttpRequest, page: Page, call: Callable[[Actor, str], object]) -> HttpResponse:
    form = WhyForm(request.POST or None)
    return form_page(request, form, page, lambda actor: call(actor, form.cleaned_data["why"]))


def _about(found: Blanket, request: HttpRequest, heading: str, submit: str, intro: str, said: str) -> Page:
    tag = {"tag": found}
    return Page(
        heading=heading % tag,
        submit=submit,
        intro=intro,
        said=said % tag,
        back=reverse("blanket", args=[request.barn.slug, found.pk]),
    )


@require_http_methods(BOTH)
def blanket_lost(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, Blanket, pk, "handle")
    page = _about(
        found,
        request,
        _("%(tag)s is missing"),
        _("Mark it lost"),
        _("It is offered to no horse until somebody marks it found."),
        _("%(tag)s is marked lost."),
    )
    return _tapped(request, page, lambda actor, why: care.lose(found, actor=actor, note=why))


@require_http_methods(BOTH)
def blanket_found(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, Blanket, pk, "handle")
    page = _about(
        found,
        request,
        _("%(tag)s is found"),
        _("Mark it found"),
        _("It goes to its rack. Look it over for tears, mould and mouse nests first."),
        _("%(tag)s is back on its rack."),
    )
    return _tapped(request, page, lambda actor, why: care.find(found, actor=actor, note=why))


@require_http_methods(BOTH)
def blanket_retire(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, Blanket, pk, "change")
    page = _about(
        found,
        request,
        _("Retire %(tag)s"),
        _("Retire it"),
        _("It leaves all lists; its log stays, and it can be brought back. Open repairs and washes end with it."),
        _("%(tag)s is retired."),
    )
    return _tapped(request, page, lambda actor, why: care.retire(found, actor=actor, note=why))


@require_http_methods(BOTH)
def blanket_return(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, Blanket, pk, "change")
    page = _about(
        found,
        request,
        _("Bring %(tag)s back into use"),
        _("Bring it back"),
        _("It goes to its rack. What was open when it was retired is reported again."),
        _("%(tag)s is back in use."),
    )
    return _tapped(request, page, lambda actor, why: domain.bring_back(found, actor=actor, why=why))


@require_http_methods(BOTH)
def blanket_dry(request: HttpRequest, pk: int) -> HttpResponse:
    found = access.fetch(request.person, Blanket, pk, "handle")
    page = _about(
        found,
        request,
        _("Is %(tag)s dry?"),
        _("It is dry: hang it on its rack"),
        _("Feel the lining at the shoulders and under the fill: a damp layer cools a horse more than none."),
        _("%(tag)s is dry and on its rack."),
    )
    return _tapped(request, page, lambda actor, _why: wearing_domain.hang_up(found, actor=actor))
