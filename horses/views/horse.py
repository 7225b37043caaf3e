import uuid
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from barnrugs.barns import access
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.models import Person
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from horses.domain import horse as domain
from horses.enums import Presence
from horses.forms.horse import FilterForm, HandlingForm, HorseForm, NewHorseForm, PlaceForm, PresenceForm, VetForm
from horses.models import Horse
from horses.queries import horse as queries


def page_of(horse: Horse, request: HttpRequest) -> str:
    return reverse("horse", args=[request.barn.slug, horse.pk])


@require_safe
def horses(request: HttpRequest) -> HttpResponse:
    """The barn's horses in walking order, those that the person may see and the filters leave."""
    today = queries.today_in(request.barn)
    owners = access.may_any(request.person, "order", Horse)
    form = FilterForm(request.GET, barn=request.barn, owners=owners)
    chosen = form.chosen()
    found = list(
        access.rows(request.person, Horse, among=filtered(queries.of(request.barn).with_now(today), chosen, today))
    )
    return render(
        request,
        "horses/horses.html",
        {
            "horses": found,
            "form": form,
            "chosen": chosen,
            "today": today,
            "may_add": access.may_any(request.person, "add", Horse),
            "may_order": owners,
        },
    )


def filtered(found: queries.HorseQuerySet, chosen: dict[str, Any], today: Any) -> queries.HorseQuerySet:
    presence = chosen.get("presence")
    if presence != "all":
        found = found.filter(presence=presence) if presence else found.of_the_barn()
    if "paddock" in chosen:
        found = found.in_paddock(chosen["paddock"].pk)
    if "owner" in chosen:
        found = found.held_by(chosen["owner"], today)
    if "need" in chosen:
        found = found.in_need(chosen["need"])
    if "clip" in chosen:
        found = found.clipped_as(chosen["clip"])
    return found


@require_safe
def horse_order(request: HttpRequest) -> HttpResponse:
    """The walking order, to be changed by moving horses up and down."""
    access.demand(request.person, "order", Horse)
    line = list(queries.of(request.barn).of_the_barn())
    rows = [(place, horse, uuid.uuid4(), uuid.uuid4()) for place, horse in enumerate(line, start=1)]
    return render(request, "horses/order.html", {"rows": rows})


@require_http_methods(BOTH)
def horse_place(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk, "order", among=queries.of(request.barn).of_the_barn())
    order = reverse("horse_order", args=[request.barn.slug])
    page = Page(
        heading=_("Where does %(horse)s stand in the walking order?") % {"horse": horse},
        intro=_("Give its place; 1 is the horse you pass first."),
        submit=_("Move it there"),
        back=order,
    )
    form = PlaceForm(sent(request), initial={"to": horse.walk_order})
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.move_in_order(horse, to=form.cleaned_data["to"], actor=actor),
        then=lambda _line: f"{order}#horse-{horse.pk}",
    )


@require_http_methods(BOTH)
def horse_add(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "add", Horse)
    form = NewHorseForm(sent(request), barn=request.barn)
    page = Page(
        heading=_("Add a horse"),
        intro=_("A name is enough to begin with; its measurements, coat and paddock come on the next page."),
        submit=_("Add the horse"),
        back=reverse("horses", args=[request.barn.slug]),
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.add_horse(values=form.values(), actor=actor),
        then=lambda horse: page_of(horse, request),
    )


@require_http_methods(BOTH)
def horse_change(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk, "change", among=with_barn())
    form = HorseForm(sent(request), record=horse)
    page = Page(heading=_("Change %(horse)s") % {"horse": horse}, submit=_("Save"), back=page_of(horse, request))
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.change_horse(horse, values=form.values(), seen=form.cleaned_data["seen"], actor=actor),
    )


@require_http_methods(BOTH)
def horse_handling(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk, "note")
    form = HandlingForm(sent(request), record=horse)
    page = Page(heading=_("How to handle %(horse)s") % {"horse": horse}, submit=_("Save"), back=page_of(horse, request))
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.note_handling(horse, values=form.values(), seen=form.cleaned_data["seen"], actor=actor),
    )


@require_http_methods(BOTH)
def horse_vet(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk, "change")
    form = VetForm(sent(request), record=horse)
    page = Page(
        heading=_("The veterinarian's note for %(horse)s") % {"horse": horse},
        intro=_(
            "Enter only what the veterinarian said about this horse. It stands above charts, house rules and advice."
        ),
        submit=_("Save the note"),
        back=page_of(horse, request),
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.note_vet(horse, values=form.values(), seen=form.cleaned_data["seen"], actor=actor),
    )


@require_http_methods(BOTH)
def horse_presence(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk, "note")
    for_good = access.may(request.person, "change", horse)
    form = PresenceForm(sent(request), horse=horse, for_good=for_good)
    page = Page(
        heading=_("Is %(horse)s here?") % {"horse": horse},
        intro=_("Sold or dead, it leaves the walking order and its paddock; its records stay.") if for_good else "",
        submit=_("Note it"),
        back=page_of(horse, request),
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.set_presence(
            horse, presence=Presence(form.cleaned_data["presence"]), why=form.cleaned_data["why"], actor=actor
        ),
    )


@require_http_methods(BOTH)
def horse_take_back(request: HttpRequest, pk: int, entry: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk, "change")
    edit = queries.edits_of(horse).filter(pk=entry).first()
    if edit is None:
        raise Http404
    writer = Person.objects.filter(key=edit.person_key).first()
    page = Page(
        heading=_("Take back a change of %(horse)s?") % {"horse": horse},
        intro=_("%(who)s changed %(what)s. Taken back, it is as it was before; both entries stay in the journal.")
        % {"who": writer or _("Somebody"), "what": edit.after.get("what", "")},
        submit=_("Take it back"),
        back=page_of(horse, request),
    )
    form = OnceForm(sent(request))
    return form_page(request, form, page, lambda actor: domain.take_back(edit, horse=horse, actor=actor))


def with_barn() -> queries.HorseQuerySet:
    return queries.HorseQuerySet(Horse).select_related("barn")
