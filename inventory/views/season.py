"""The end-of-season worklist and the autumn list, each with actions on many at once."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.views.writing import perform
from inventory.domain import season as domain
from inventory.domain import whereabouts
from inventory.enums import Sound, Where
from inventory.forms.season import SeasonForm
from inventory.models import Blanket
from inventory.queries import season as queries


@dataclass(frozen=True)
class Line:
    blanket: Any
    needs: tuple[str, ...]
    where: str
    may: bool


@require_safe
def season(request: HttpRequest) -> HttpResponse:
    """Everything worn this season, with what it needs and where it will be stored."""
    return render(request, "inventory/season.html", season_context(request))


def season_context(request: HttpRequest) -> dict[str, Any]:
    now = timezone.now()
    since = queries.began(request.barn, now)
    found = _visible(request, queries.worn_this_season(request.barn, now, since))
    lines = [line for line in _lines(request, found) if line.blanket.where != Where.STORED]
    return {
        "page": "season",
        "since": since,
        "lines": lines,
        "needing": sum(bool(line.needs) for line in lines),
        "stored": len(found) - len(lines),
        "once": SeasonForm(person=request.person).fields["once"].initial,
    }


@require_safe
def autumn(request: HttpRequest) -> HttpResponse:
    """What was put away not ready, before the rush of September; and everything else that is stored."""
    return render(request, "inventory/autumn.html", autumn_context(request))


def autumn_context(request: HttpRequest) -> dict[str, Any]:
    now = timezone.now()
    not_ready = _visible(request, queries.put_away_not_ready(request.barn, now))
    known = {blanket.pk for blanket in not_ready}
    rest = [blanket for blanket in _visible(request, queries.stored(request.barn, now)) if blanket.pk not in known]
    return {
        "page": "autumn",
        "lines": _lines(request, not_ready),
        "rest": rest,
        "once": SeasonForm(person=request.person).fields["once"].initial,
    }


def _visible(request: HttpRequest, found: Any) -> list[Any]:
    shown = access.rows(request.person, Blanket, among=found)
    return list(shown.select_related("owner", "usual_horse").order_by("storage_place", "tag"))


def _lines(request: HttpRequest, found: list[Any]) -> list[Line]:
    changeable = set(access.rows(request.person, Blanket, "change").values_list("pk", flat=True))
    return [
        Line(blanket, tuple(needs(blanket)), whereabouts.phrase(blanket), blanket.pk in changeable) for blanket in found
    ]


def needs(blanket: Any) -> list[str]:
    """What has to be done before it is put away, in the order in which it is done."""
    said = [
        (blanket.wash_due, _("wash asked for")),
        (blanket.unwashed and not blanket.wash_due, _("wash: worn since the last one")),
        (blanket.sound == Sound.DO_NOT_USE, _("repair: do not use")),
        (blanket.repair_due and blanket.sound != Sound.DO_NOT_USE, _("repair")),
        (blanket.proofing_due, _("waterproofing")),
    ]
    return [word for due, word in said if due]


@require_POST
def season_act(request: HttpRequest, page: str) -> HttpResponse:
    """One action on all ticked lines of either list."""
    contexts = {"season": season_context, "autumn": autumn_context}
    if page not in contexts:
        raise Http404
    form = SeasonForm(request.POST, person=request.person)
    refused: list[str] = []

    def call(actor: Actor) -> str:
        said = form.cleaned_data
        refused.extend(domain.act(said["act"], blankets=list(said["blankets"]), place=said["place"], actor=actor))
        return reverse(page, args=[request.barn.slug])

    done = perform(request, form, call) if form.is_valid() else None
    if done is None:
        messages.error(request, form.complaint())
        return render(request, f"inventory/{page}.html", contexts[page](request), status=400)
    if done.status_code == 302:
        _say(request, len(form.cleaned_data["blankets"]) - len(refused), refused)
    return done


def _say(request: HttpRequest, done: int, refused: list[str]) -> None:
    if done > 0:
        messages.success(request, ngettext("%(many)d line done.", "%(many)d lines done.", done) % {"many": done})
    for sentence in refused:
        messages.warning(request, sentence)
