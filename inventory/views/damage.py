"""Reporting damage in two taps: from a blanket's page or code, or from the horse that wears it."""

from collections.abc import Callable
from typing import Any

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.pages import BOTH, Page, form_page
from horses.models import Horse
from inventory.domain import damage as domain
from inventory.enums import DamagedPart
from inventory.forms.damage import DO_NOT_USE, USABLE, DamageForm, HorseDamageForm
from inventory.models import Blanket, CareJob
from inventory.queries import blankets
from inventory.views.pictures import say_without_picture


@require_http_methods(BOTH)
def damage(request: HttpRequest, pk: int) -> HttpResponse:
    blanket = access.fetch(request.person, Blanket, pk, "handle")
    form = DamageForm(request.POST or None, request.FILES or None)
    page = _page(request, _("Report damage: %(tag)s") % {"tag": blanket}, {"blanket": blanket, "named": blanket.tag})
    return form_page(
        request, form, page, lambda actor: _report(form, blanket, None, actor), then=_to_job(request, form)
    )


@require_http_methods(BOTH)
def horse_damage(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk, "note")
    handled = access.rows(request.person, Blanket, "handle")
    worn = handled.filter(wearings__horse=horse, wearings__off_at__isnull=True).order_by("wearings__layer")
    kept = blankets.of(request.barn).with_condition(request.barn, timezone.now()).kept()
    own = access.rows(request.person, Blanket, "handle", among=kept.filter(usual_horse=horse)).order_by("tag")
    ever = handled.filter(Q(wearings__horse=horse) | Q(usual_horse=horse)).distinct()
    form = HorseDamageForm(request.POST or None, request.FILES or None, worn=list(worn), own=own, among=ever)
    heading = _("Report damage: a blanket of %(horse)s") % {"horse": horse}
    page = _page(request, heading, {"horse": horse, "named": horse.name})

    def call(actor: Actor) -> CareJob:
        return _report(form, form.cleaned_data["blanket"], horse, actor)

    return form_page(request, form, page, call, then=_to_job(request, form))


def _page(request: HttpRequest, heading: str, more: dict[str, Any]) -> Page:
    use = request.GET.get("use", "")
    return Page(
        heading=heading,
        submit="",
        back="",
        said=_("Reported. Who decides about it is told."),
        template="inventory/damage.html",
        more=more | {"damage_use": use if use in {USABLE, DO_NOT_USE} else ""},
    )


def _report(form: DamageForm, blanket: Blanket, horse: Horse | None, actor: Actor) -> CareJob:
    said = form.cleaned_data
    return domain.report(
        blanket,
        part=DamagedPart(said["part"]),
        usable=said["use"] == USABLE,
        horse=horse,
        note=said["note"],
        picture=said["picture"],
        actor=actor,
    )


def _to_job(request: HttpRequest, form: DamageForm) -> Callable[[CareJob], str]:
    def to_job(job: CareJob) -> str:
        say_without_picture(request, form.picture_fault or job.picture_fault)
        return reverse("care_job", args=[request.barn.slug, job.pk])

    return to_job
