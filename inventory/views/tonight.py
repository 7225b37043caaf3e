"""The barn's list for tonight, and one horse's Choose page."""

import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from barnrugs.barns import access
from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Units
from barnrugs.matching import units
from barnrugs.matching.words import PlaceKind
from barnrugs.weather.queries import source_of
from barnrugs.weather.spell import PRECIP, WeatherGap, say_unknown
from horses.models import Horse
from inventory.domain import advice, sessions, snapshot
from inventory.domain.advice import BarnList, Line, Weather
from inventory.domain.sessions import Slot
from inventory.forms.conditions import ConditionsForm
from inventory.forms.drying import CameOffForm
from inventory.models import ChangeList
from inventory.queries import drying
from inventory.queries import lists as list_queries
from inventory.views import answers, band, decisions
from inventory.views.line_facts import vet_advises_nothing
from inventory.views.subjects import subject_of

OUTFITS_SHOWN = 5


@dataclass(frozen=True)
class Row:
    line: Line
    shown: answers.Shown | None
    first: tuple[answers.Layer, ...]
    wears: tuple[answers.Layer, ...]
    assumed: list[str]
    decided: decisions.Said
    stands: str = ""
    said: str = ""
    vet_words: str = ""


@require_safe
def tonight(request: HttpRequest) -> HttpResponse:
    """Who wears what until morning, in walking order; an owner sees the lines of their own horses."""
    barn: Barn = request.barn
    form, weather, gap = _weather(request, barn, *advice.night(barn, timezone.now()))
    found: BarnList | None = None
    if weather:
        taken = snapshot.read(barn, timezone.now())
        found = advice.advise_barn(taken, weather, _one_place(form))
    mine = set(access.rows(request.person, Horse).values_list("pk", flat=True))
    rows = [_row(line, barn, found.blankets) for line in found.lines if line.horse.pk in mine] if found else []
    return render(
        request,
        "inventory/tonight.html",
        {
            "form": form,
            "weather": weather,
            "gap": gap,
            "rows": rows,
            "found": found,
            **_said(weather, barn),
            "sees_all": access.may_any(request.person, "order", Horse) or request.person.is_staff,
            "may_add": access.may_any(request.person, "add", Horse),
            **_drying(barn),
        },
    )


@require_safe
def choose(request: HttpRequest, pk: int) -> HttpResponse:
    """Conditions in, ranked outfits out, for one horse."""
    horse = access.fetch(request.person, Horse, pk)
    barn: Barn = request.barn
    slot = _slot(request, barn)
    form, weather, gap = _weather(request, barn, max(slot.due_at, _this_hour()), slot.until)
    taken = snapshot.read(barn, timezone.now(), only=horse)
    context: dict[str, Any] = {"horse": horse, "form": form, "weather": weather, "gap": gap, "taken": taken}
    context |= {"slot": slot, "session": slot.session.label}
    if weather:
        line = advice.advise(taken, horse, weather.hours, _one_place(form))
        context |= _outfits(line, barn, taken) | _said(weather, barn)
        for which in ("outfits", "more"):
            context[which] = _promised(request, context.get(which, ()), slot, horse)
    context["wears"] = [
        (answers.layer(wearing.blanket.tag, taken.blankets), wearing) for wearing in subject_of(taken, horse).wears
    ]
    context["vet_words"] = answers.vet_words(horse, barn, taken.at)
    context |= {"new_once": uuid.uuid4(), "wet_once": uuid.uuid4()}
    context["may_dress"] = access.may(request.person, "dress", horse)
    return render(request, "inventory/choose.html", context | _drying(barn))


def _promised(
    request: HttpRequest, outfits: Sequence[tuple[answers.Shown, Any]], slot: Slot, horse: Horse
) -> list[tuple[answers.Shown, Any]]:
    """With a caution where the list of that time counts on a blanket for another horse."""
    names = access.may_any(request.person, "see", ChangeList)
    others = list_queries.promised(request.barn, slot.day, slot.session, horse)
    found = []
    for shown, drawing in outfits:
        told = [
            _("%(tag)s goes on %(horse)s by this list: have the list advised again after taking it.")
            % {"tag": layer.tag, "horse": others[layer.tag] if names else _("another horse")}
            for layer in shown.layers
            if layer.tag in others
        ]
        found.append((replace(shown, cautions=(*shown.cautions, *told)), drawing))
    return found


def _drying(barn: Barn) -> dict[str, Any]:
    """Where what comes off wet may hang."""
    return {"hangs": CameOffForm()["place"], "drying_places": drying.places(barn, timezone.now())}


def _slot(request: HttpRequest, barn: Barn) -> Slot:
    """The staffed time asked for, as on the line one comes from; else the one at hand."""
    now = timezone.now()
    asked = (request.GET.get("day"), request.GET.get("session"))
    found = (one for one in sessions.coming(barn, now) if (one.day.isoformat(), one.session.value) == asked)
    return next(found, sessions.at_hand(barn, now))


def _this_hour() -> datetime:
    return timezone.now().replace(minute=0, second=0, microsecond=0)


def _weather(
    request: HttpRequest, barn: Barn, start: datetime, end: datetime
) -> tuple[ConditionsForm, Weather | None, str]:
    """The form, the hours it asks for, and why there are none."""
    form = ConditionsForm(request.GET, barn=barn, has_file=source_of(barn) is not None)
    if not form.is_valid():
        return form, None, ""
    if start >= end:
        start, end = advice.night(barn, timezone.now())
    if form.conditions:
        return form, Weather(form.conditions.spread(start), source=_("entered by hand")), ""
    if form.cleaned_data["weather"] != "file":
        return form, None, ""
    try:
        return form, advice.forecast(barn, start, end), ""
    except WeatherGap as missing:
        return form, None, str(missing)


def _one_place(form: ConditionsForm) -> PlaceKind | None:
    kind: str = form.cleaned_data["place"]
    return None if kind == "schedule" else PlaceKind(kind)


def _row(line: Line, barn: Barn, blankets: dict[str, Any]) -> Row:
    shown = answers.show(line.given, barn, blankets, horse=line.horse, worn=line.keeps) if line.given else None
    said = line.no_answer.say(answers.voice(barn)) if line.no_answer else ""
    if line.advice and line.advice.keep_in:
        said = line.advice.keep_in.say(answers.voice(barn))
    return Row(
        line=line,
        shown=shown,
        first=tuple(answers.layer(cooler.tag, blankets) for cooler in line.advice.first) if line.advice else (),
        wears=tuple(answers.layer(tag, blankets) for tag in line.on_now),
        assumed=answers.assumed(line),
        decided=decisions.of_line(line, barn),
        stands=answers.stands(line.advice.stay) if line.advice else "",
        said=said,
        vet_words=answers.vet_words(line.horse, barn, timezone.now()),
    )


def _outfits(line: Line, barn: Barn, taken: snapshot.Snapshot) -> dict[str, Any]:
    row = _row(line, barn, taken.blankets)
    if vet_advises_nothing(line.horse, barn, taken.at):
        return {"row": row, "outfits": [], "ask_vet": True}
    if line.advice is None:
        return {"row": row, "outfits": []}
    times = [hour.time for hour in line.advice.stay.hours]
    us = barn.units == Units.US
    ranked = [outfit for outfit in line.advice.outfits if not outfit.refused]
    worn = set(line.on_now)
    shown = [
        (
            answers.show(judged, barn, taken.blankets, horse=line.horse, worn=set(judged.tags) == worn),
            band.draw(judged, times, barn.zone, us=us),
        )
        for judged in ranked
    ]
    speaker = answers.voice(barn)
    return {
        "row": row,
        "outfits": shown[:OUTFITS_SHOWN],
        "more": shown[OUTFITS_SHOWN : 3 * OUTFITS_SHOWN],
        "left_out": [
            (answers.layer(out.blanket.tag, taken.blankets), out.reason.say(speaker)) for out in line.advice.left_out
        ],
    }


def _said(weather: Weather | None, barn: Barn) -> dict[str, Any]:
    if weather is None:
        return {}
    return {"summary": summary(weather, barn), "unknown": unknown_but_rain(weather.unknown, len(weather.hours))}


def unknown_but_rain(counted: Iterable[Sequence[Any]], hours: int) -> list[str]:
    """What is unknown of the weather besides rain and snow, of which `summary` speaks."""
    return say_unknown([one for one in counted if one[0] != PRECIP.name], hours)


def summary(weather: Weather, barn: Barn) -> str:
    """The weather in a sentence: from when to when, how cold, how windy, how wet."""
    us = barn.units == Units.US
    hours = weather.hours
    air = [hour.air_c for hour in hours]
    wind = [hour.wind_10m_ms for hour in hours]
    start = timezone.localtime(hours[0].time, barn.zone)
    return _("%(count)d hours from %(start)s: %(cold)s to %(warm)s, wind %(calm)s to %(strong)s, %(wet)s.") % {
        "count": len(hours),
        "start": f"{start:%H:%M}",
        "cold": units.whole_degrees(min(air), us=us),
        "warm": units.whole_degrees(max(air), us=us),
        "calm": f"{units.speed(min(wind), us=us):.0f}",
        "strong": f"{units.speed(max(wind), us=us):.0f} {units.speed_unit(us=us)}",
        "wet": _wet(weather, us=us),
    }


def _wet(weather: Weather, *, us: bool) -> str:
    unknown = sum(1 for hour in weather.hours if hour.precip_mm is None)
    fallen = sum(hour.precip_mm or 0.0 for hour in weather.hours)
    known = _("%(amount)s of rain or snow") % {"amount": units.rain(fallen, us=us)} if fallen else _("dry")
    if unknown == len(weather.hours):
        return _("whether it rains is unknown, so rain is expected for what may go out")
    if unknown:
        return _("%(known)s, unknown for %(hours)d hours, in which rain is expected for what may go out") % {
            "known": known,
            "hours": unknown,
        }
    return known
