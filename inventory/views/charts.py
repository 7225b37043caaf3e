"""Charts: read, written, held against the computed bands and tonight's weather, and all of a barn on paper."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from barnrugs.barns import access
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import HouseModel, Units
from barnrugs.barns.views.pages import BOTH, Page, form_page, sent
from barnrugs.barns.views.writing import perform
from barnrugs.matching import charts as matching
from barnrugs.matching import units
from barnrugs.matching.horse import Horse as HorseValue
from barnrugs.matching.limits import NoAnswer
from barnrugs.matching.outfit import Blanket as BlanketValue
from barnrugs.matching.weather import Place
from barnrugs.weather.spell import WeatherGap
from horses.models import Horse
from inventory import chart_words
from inventory.domain import advice, chart_bands, precedence, snapshot
from inventory.domain import charts as domain
from inventory.domain.charts import Written
from inventory.enums import DecidedBy
from inventory.forms.charts import ChartForm, EndForm, initial_of, reshaped
from inventory.models import Chart
from inventory.queries import charts as queries
from inventory.views import answers, chart_drawing, chart_table, decisions
from inventory.views.subjects import subject_of
from inventory.views.tonight import summary

VERSIONS = 12
USUAL_HORSE = HorseValue(mass_kg=500.0)
"""The house chart is drawn against a grown horse of 500 kg in condition 5, unclipped in its winter coat (A)."""


@dataclass(frozen=True)
class Tonight:
    """What a chart says of tonight, beside the computed advice."""

    weather: str
    chart: decisions.Said | None
    chart_outfit: str
    computed: answers.Shown | None
    why_not: str = ""
    followed: bool = False


@require_safe
def chart(request: HttpRequest, pk: int) -> HttpResponse:
    horse = access.fetch(request.person, Horse, pk)
    return _page(request, horse, may=access.may(request.person, "change", horse))


@require_safe
def house_chart(request: HttpRequest) -> HttpResponse:
    return _page(request, None, may=access.may_any(request.person, "change", Barn))


def _page(request: HttpRequest, horse: Horse | None, *, may: bool) -> HttpResponse:
    barn: Barn = request.barn
    found = queries.current(barn, horse)
    us = barn.units == Units.US
    taken = snapshot.read(barn, timezone.now(), only=horse) if horse and found else None
    return render(
        request,
        "inventory/chart.html",
        {
            "horse": horse,
            "chart": found,
            "may": may,
            "vet_holds": horse is not None and answers.vet_holds(horse, barn, timezone.now()),
            "once": OnceForm(),
            "obeyed": barn.house_model in precedence.OBEYED,
            "barn_decides": barn.house_model == HouseModel.BARN_DECIDES,
            "house_has": bool(horse) and queries.current(barn, None) is not None,
            "lines": _line_words(domain.written(found).rows, us=us) if found else [],
            "versions": [(one, _line_words(domain.written(one).rows, us=us)) for one in _versions(barn, horse)],
            **(looked_at(domain.written(found), barn, horse, taken) if found else {}),
        },
    )


def _versions(barn: Barn, horse: Horse | None) -> list[Chart]:
    return list(queries.versions(barn, horse)[:VERSIONS])


def _line_words(rows: Sequence[matching.Row], *, us: bool) -> list[str]:
    return [chart_words.line(row, us=us) for row in rows]


def looked_at(written: Written, barn: Barn, horse: Horse | None, taken: snapshot.Snapshot | None) -> dict[str, Any]:
    """A chart, kept or not yet, with its faults, its drawing and what it says of tonight."""
    us = barn.units == Units.US
    shown: dict[str, Any] = {
        "written": written,
        "tolerance": chart_words.difference(written.tolerance_c, us=us) if written.tolerance_c else "",
        "otherwise": decisions.of_chart(written.override, barn, owners=horse is not None),
        "faults": [chart_words.fault(one, us=us) for one in matching.faults(written.rows)],
        "taken_as": _taken_as(us=us),
    }
    subject = subject_of(taken, horse) if taken and horse else None
    value, outdoors = (subject.value, subject.outdoors()) if subject else (USUAL_HORSE, Place())
    try:
        compared = chart_bands.compare(written.value, value, outdoors, subject.wardrobe if subject else ())
    except NoAnswer as why:
        return shown | {"no_bands": why.reason.say(answers.voice(barn))}
    return shown | {
        "drawings": chart_drawing.draw(written.value, compared, us=us),
        "disagreements": [chart_drawing.disagreement(one, us=us) for one in compared.disagreements],
        "tonight": _tonight(written, barn, subject, taken) if subject and taken else None,
    }


def _taken_as(*, us: bool) -> dict[str, str]:
    """What the columns of a chart are taken to be, in the barn's units."""
    winds = chart_bands.SAMPLE_WIND_MS
    return {
        "windy": units.whole_speed(matching.WINDY_FROM_MS, us=us),
        "dry_wind": units.whole_speed(winds[matching.Wetness.DRY], us=us),
        "wet_wind": units.whole_speed(winds[matching.Wetness.WET_OR_WINDY], us=us),
        "rain": units.rain(chart_bands.SAMPLE_RAIN_MM[matching.Wetness.WET_OR_WINDY], us=us),
        "mass": units.mass(USUAL_HORSE.mass_kg, us=us),
    }


def _tonight(written: Written, barn: Barn, subject: snapshot.Subject, taken: snapshot.Snapshot) -> Tonight:
    try:
        weather = advice.forecast(barn, *advice.night(barn, taken.at))
    except WeatherGap as gap:
        return Tonight("", None, "", None, str(gap))
    line = advice.advise(taken, subject.horse, weather.hours)
    if line.advice is None:
        said = line.no_answer.say(answers.voice(barn)) if line.no_answer else ""
        return Tonight(summary(weather, barn), None, "", None, said)
    decision = precedence.by_chart(written.value, DecidedBy.OWNER, line.advice, line.advice.outfits)
    computed = line.advice.chosen
    worn = set(line.on_now)
    return Tonight(
        weather=summary(weather, barn),
        chart=decisions.of_decision(decision, barn) if decision else None,
        chart_outfit=answers.show(decision.outfit, barn, taken.blankets, horse=subject.horse, worn=False).title
        if decision and decision.outfit
        else "",
        followed=bool(decision and decision.acceptable),
        computed=answers.show(computed, barn, taken.blankets, horse=subject.horse, worn=set(computed.tags) == worn),
    )


@require_http_methods(BOTH)
def chart_change(request: HttpRequest, pk: int) -> HttpResponse:
    return _write(request, access.fetch(request.person, Horse, pk, "change"))


@require_http_methods(BOTH)
def house_chart_change(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "change", Barn)
    return _write(request, None)


def _write(request: HttpRequest, horse: Horse | None) -> HttpResponse:
    """Saved, or only looked at, or given a line more or less: each by a button of its own."""
    barn: Barn = request.barn
    taken = snapshot.read(barn, timezone.now(), only=horse) if horse else None
    blankets = [one for one in subject_of(taken, horse).wardrobe if one.mine] if taken and horse else []
    do = request.POST.get("do", "save")
    if request.method == "POST" and (reshape := _reshape(do)):
        form = ChartForm(barn=barn, blankets=blankets, initial=reshaped(request.POST, **reshape))
        return _form_page(request, horse, form)
    form = ChartForm(sent(request), barn=barn, blankets=blankets, initial=_initial(request, horse))
    if request.method != "POST" or not form.is_valid():
        return _form_page(request, horse, form)
    if do == "look":
        return _form_page(request, horse, form, **looked_at(form.written(), barn, horse, taken))

    if form.asks_first():
        return _form_page(request, horse, form)

    def call(actor: Actor) -> str:
        domain.write_chart(horse, written=form.written(), seen=form.cleaned_data["seen"], actor=actor)
        return address(barn, horse)

    return perform(request, form, call) or _form_page(request, horse, caught_up(form, barn, horse, blankets))


def _reshape(do: str) -> dict[str, Any]:
    if do == "add":
        return {"add": True}
    verb, _dash, number = do.partition("-")
    return {"drop": int(number)} if verb == "drop" and number.isascii() and number.isdigit() and len(number) < 4 else {}


def _initial(request: HttpRequest, horse: Horse | None) -> dict[str, Any]:
    """The chart as it stands; for a horse without one, on demand, the house chart to begin with."""
    now = queries.current(request.barn, horse)
    start = now or (queries.current(request.barn, None) if request.GET.get("start") == "house" else None)
    initial = initial_of(domain.written(start), request.barn) if start else {}
    return {**initial, "seen": now.pk if now else None}


def caught_up(form: ChartForm, barn: Barn, horse: Horse | None, blankets: Sequence[BlanketValue]) -> ChartForm:
    """After a refusal: what was typed, on top of the version that stands now."""
    now = queries.current(barn, horse)
    data = form.data.copy()  # type: ignore[union-attr]
    data["seen"] = str(now.pk) if now else ""
    fresh = ChartForm(data, barn=barn, blankets=blankets)
    fresh.full_clean()
    fresh.add_error(None, form.non_field_errors())
    return fresh


def _form_page(request: HttpRequest, horse: Horse | None, form: ChartForm, **more: Any) -> HttpResponse:
    context = {"horse": horse, "form": form, "lines": list(form.line_fields()), "back": address(request.barn, horse)}
    return render(request, "inventory/chart_change.html", {**context, **more})


@require_POST
def chart_read(request: HttpRequest, pk: int) -> HttpResponse:
    """One tap: read again after the clip, and it holds."""
    horse = access.fetch(request.person, Horse, pk, "change")
    found = get_object_or_404(Chart, barn=request.barn, horse=horse, until__isnull=True)
    form = OnceForm(request.POST)
    back = address(request.barn, horse)

    def call(actor: Actor) -> str:
        domain.confirm_chart(found, actor=actor)
        return back

    done = perform(request, form, call) if form.is_valid() else None
    if done is None:
        messages.error(request, " ".join(map(str, form.non_field_errors())) or _("Please tap it again."))
    return done or HttpResponseRedirect(back)


@require_http_methods(BOTH)
def chart_end(request: HttpRequest, pk: int) -> HttpResponse:
    return _end(request, access.fetch(request.person, Horse, pk, "change"))


@require_http_methods(BOTH)
def house_chart_end(request: HttpRequest) -> HttpResponse:
    access.demand(request.person, "change", Barn)
    return _end(request, None)


def _end(request: HttpRequest, horse: Horse | None) -> HttpResponse:
    """The version is named in the form: sent twice, it ends one version and never its successor."""
    now = queries.current(request.barn, horse)
    if now is None and request.method != "POST":
        raise Http404
    form = EndForm(sent(request), barn=request.barn, horse=horse, initial={"chart": now.pk if now else None})
    page = Page(
        heading=_("End the chart of %(horse)s?") % {"horse": horse} if horse else _("End the house chart?"),
        intro=_("From now on it decides nothing. What it said stays readable among the earlier versions."),
        submit=_("End it"),
        back=address(request.barn, horse),
    )
    return form_page(
        request,
        form,
        page,
        lambda actor: domain.end_chart(form.cleaned_data["chart"], why=form.cleaned_data["why"], actor=actor),
    )


def address(barn: Barn, horse: Horse | None) -> str:
    return reverse("chart", args=[barn.slug, horse.pk]) if horse else reverse("house_chart", args=[barn.slug])


@require_safe
def charts(request: HttpRequest) -> HttpResponse:
    """Every chart that one may see, as one table for the wall."""
    found = access.rows(request.person, Chart, among=queries.open_in(request.barn))
    us = request.barn.units == Units.US
    return render(
        request,
        "inventory/charts.html",
        {
            "rows": [chart_table.row(one, us=us) for one in found],
            "now": timezone.now(),
            "obeyed": request.barn.house_model in precedence.OBEYED,
            "model": chart_table.RULES,
            "unit": units.degree(us=us),
        },
    )
