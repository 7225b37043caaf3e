from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from horses.domain import owner as domain
from horses.forms.owner import OwnerEndForm, OwnerForm
from horses.models import Horse, HorseOwner
from horses.queries import horse as horses
from horses.views.horse import page_of


@require_http_methods(BOTH)
def owner_add(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk)
    access.demand(request.person, "change", HorseOwner)
    form = OwnerForm(sent(request), barn=request.barn, today=horses.today_in(request.barn))
    page = Page(
        heading=_("Who owns or leases %(horse)s?") % {"horse": horse}, submit=_("Save"), back=page_of(horse, request)
    )
    return form_page(request, form, page, lambda actor: add(horse, form.cleaned_data, actor))


def add(horse: Horse, given: dict[str, Any], actor: Actor) -> HorseOwner:
    return domain.add_owner(
        horse,
        person=given["person"],
        lessee=given["lessee"],
        since=given["since"],
        until=given["until"],
        actor=actor,
    )


@require_http_methods(BOTH)
def owner_end(request: HttpRequest, pk: int) -> HttpResponse:
    among = HorseOwner.objects.select_related("horse", "person")
    holder = access.fetch(request.person, HorseOwner, pk, "change", among=among)
    form = OwnerEndForm(sent(request), today=horses.today_in(request.barn))
    page = Page(
        heading=_("Until when does %(person)s hold %(horse)s?") % {"person": holder.person, "horse": holder.horse},
        submit=_("Save"),
        back=page_of(holder.horse, request),
    )
    return form_page(
        request, form, page, lambda actor: domain.end_owner(holder, until=form.cleaned_data["until"], actor=actor)
    )
