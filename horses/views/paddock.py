from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from horses.domain import paddock as domain
from horses.forms.paddock import NewPaddockForm, PaddockForm, StayForm
from horses.models import Horse, Paddock, PaddockStay
from horses.queries import horse as horses
from horses.queries import paddock as queries
from horses.views.horse import page_of, with_barn


@require_safe
def paddocks(request: HttpRequest) -> HttpResponse:
    """The paddocks with their shelter, their turnout, and which of the horses one may see stand there."""
    today = horses.today_in(request.barn)
    seen = set(access.rows(request.person, Horse).values_list("pk", flat=True))
    found = access.rows(request.person, Paddock, among=queries.with_company(request.barn, today))
    rows = [(paddock, [stay.horse for stay in paddock.now if stay.horse_id in seen]) for paddock in found]
    may_add = access.may_any(request.person, "add", Paddock)
    return render(request, "horses/paddocks.html", {"rows": rows, "may_add": may_add})


@require_http_methods(BOTH)
def paddock_add(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "add", Paddock)
    form = NewPaddockForm(sent(request))
    page = Page(
        heading=_("Add a paddock"), submit=_("Add the paddock"), back=reverse("paddocks", args=[request.barn.slug])
    )
    return form_page(request, form, page, lambda actor: domain.add_paddock(values=form.values(), actor=actor))


@require_http_methods(BOTH)
def paddock_change(request: HttpRequest, pk: int) -> HttpResponse:
    paddock = access.fetch(request.person, Paddock, pk, "change")
    form = PaddockForm(sent(request), record=paddock)
    page = Page(heading=paddock.name, submit=_("Save"), back=reverse("paddocks", args=[request.barn.slug]))
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.change_paddock(paddock, values=form.values(), seen=form.cleaned_data["seen"], actor=actor),
    )


@require_http_methods(BOTH)
def horse_paddock(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk, among=with_barn())
    access.demand(request.person, "change", PaddockStay)
    form = StayForm(sent(request), horse=horse, today=horses.today_in(request.barn))
    page = Page(
        heading=_("Where does %(horse)s go out?") % {"horse": horse},
        submit=_("Move it there"),
        back=page_of(horse, request),
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.move_to(
            horse, paddock=form.cleaned_data["paddock"], since=form.cleaned_data["since"], actor=actor
        ),
    )
