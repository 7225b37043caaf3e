"""Wet and drying: what must come off, what stood in the rain, what hangs to dry and until when."""

import uuid
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.pages import BOTH, Page, form_page
from barnrugs.barns.views.writing import perform
from inventory.domain import drying as domain
from inventory.domain import wearing as wearing_domain
from inventory.enums import Waterproofing
from inventory.forms.drying import TapForm, WetForm
from inventory.models import Blanket, Placing, Wearing
from inventory.queries import damage as alarms
from inventory.queries import drying as queries


@dataclass(frozen=True)
class Hanging:
    placing: Placing
    ready_at: datetime
    may: bool


@dataclass(frozen=True)
class InRain:
    wearing: Wearing
    rain: domain.Rain
    warns: bool
    may: bool
    once: uuid.UUID = field(default_factory=uuid.uuid4)


@require_safe
def drying(request: HttpRequest) -> HttpResponse:
    """For staff the whole barn; an owner's own blankets and horses."""
    return render(request, "inventory/drying.html", context(request))


def context(request: HttpRequest) -> dict[str, Any]:
    person, barn, now = request.person, request.barn, timezone.now()
    worn = list(access.rows(person, Wearing, among=queries.worn(barn)))
    changeable = set(access.rows(person, Wearing, "change").filter(off_at__isnull=True).values_list("pk", flat=True))
    handled = set(access.rows(person, Blanket, "handle").values_list("pk", flat=True))
    record = domain.rain_on(worn, barn, now)
    dry_after = timedelta(hours=barn.drying_hours)
    return {
        "must_come_off": access.rows(person, Wearing, among=alarms.must_come_off(barn)),
        "in_rain": [
            InRain(one, record.rain[one.pk], _warns(one, worn), one.pk in changeable)
            for one in worn
            if record.rain.get(one.pk, domain.Rain()).hours and not one.soaked_at
        ],
        "unknown": any(rain.unknown for rain in record.rain.values()),
        "record": record,
        "hanging": [
            Hanging(placing, placing.since + dry_after, placing.blanket_id in handled)
            for placing in access.rows(person, Placing, among=queries.hanging(barn, now))
        ],
    }


def _warns(wearing: Wearing, worn: list[Wearing]) -> bool:
    """Rain reaches a layer that is not waterproof unless a waterproof one lies over it."""
    layers = [other.blanket for other in worn if other.horse_id == wearing.horse_id and other.layer >= wearing.layer]
    return all(blanket.waterproofing != Waterproofing.WATERPROOF for blanket in layers)


@require_http_methods(BOTH)
def mark_wet(request: HttpRequest, pk: int) -> HttpResponse:
    blanket = access.fetch(request.person, Blanket, pk, "handle")
    form = WetForm(request.POST or None)
    page = Page(
        heading=_("%(tag)s is wet") % {"tag": blanket},
        submit=_("Hung up to dry"),
        back=reverse("drying", args=[request.barn.slug]),
        said=_("Noted: nobody is told to use it until it is dry."),
        template="inventory/mark_wet.html",
        more={"drying_places": queries.places(request.barn, timezone.now())},
    )

    def call(actor: Actor) -> Placing:
        said = form.cleaned_data
        return domain.mark_wet(blanket, place=said["place"], soaked=said["soaked"], actor=actor)

    return form_page(request, form, page, call)


@require_POST
def mark_soaked(request: HttpRequest, pk: int) -> HttpResponse:
    """One tap at the stall door: what the horse has on is soaked."""
    wearing = access.fetch(request.person, Wearing, pk, "change", among=Wearing.objects.select_related("horse"))
    form = TapForm(request.POST)

    def call(actor: Actor) -> str:
        wearing_domain.mark_soaked(wearing, actor=actor)
        return reverse("drying", args=[request.barn.slug])

    done = perform(request, form, call) if form.is_valid() else None
    return done or render(request, "inventory/drying.html", context(request) | {"refused": form}, status=400)
