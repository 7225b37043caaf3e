"""A chart as a form: one set of fields for each line, in the barn's units; lines are added and dropped by buttons."""

import hashlib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from django import forms
from django.forms.boundfield import BoundField
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.layout import FigureField
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Units
from barnrugs.matching import charts, units
from barnrugs.matching.limits import AIR_C
from barnrugs.matching.outfit import Blanket, as_worn
from barnrugs.matching.strength import FillWord
from barnrugs.matching.words import Kind, PlaceKind
from horses.models import Horse
from inventory import chart_words
from inventory.domain.charts import Written, in_order
from inventory.enums import ChartFill, ChartNote, ChartPlace, ChartWet, Override
from inventory.models import Chart

MOST_LINES = 24
FIRST_LINES = 3
NOTHING, THESE = "nothing", "these"

PLACES = [("", gettext_lazy("Both")), *ChartPlace.choices]
WEATHERS = [("", gettext_lazy("Both")), *ChartWet.choices]
KINDS = [("air", gettext_lazy("Air temperature")), ("feels", gettext_lazy("Feels-like (wind chill)"))]
FROM_THE_SKIN = {Kind.LINER: 0, Kind.SHEET: 1, Kind.STABLE: 2, Kind.NECK_COVER: 4}
ON_A_CHART = {Kind.TURNOUT, Kind.RAIN_SHEET, Kind.SHEET, Kind.STABLE, Kind.LINER, Kind.NECK_COVER}
SEVERAL = ("tags", "common")
PARTS = ("from", "below", "place", "wet", "wear", "tags", "neck", "common", "note")
TEMPERATURES = ("from", "below")
OF_THE_WHOLE = ("seen", "temperatures", "tolerance", "override", "remark")
COUNT = re.compile(r"[0-9]{1,3}", re.ASCII)


@dataclass(frozen=True)
class LineFields:
    """One line of the form: its number, its fields by name, and in words what it says so far."""

    number: int
    fields: Mapping[str, BoundField]
    words: str
    has_errors: bool


class ChartForm(OnceForm):
    """horse_blankets: what the horse could be given by tag; none for the house chart."""

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)
    lines = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=MOST_LINES)
    accepted = forms.CharField(widget=forms.HiddenInput, required=False)
    temperatures = forms.ChoiceField(
        label=gettext_lazy("Temperatures are"), choices=KINDS, widget=forms.RadioSelect, initial="air"
    )
    tolerance = FigureField(required=False, min_value=0)
    override = forms.ChoiceField(
        label=gettext_lazy("Who may do otherwise"),
        choices=Override.choices,
        widget=forms.RadioSelect,
        initial=Override.STAFF,
    )
    remark = forms.CharField(
        label=gettext_lazy("Note for the whole chart"),
        max_length=300,
        required=False,
        help_text=gettext_lazy("In your own words; it is not translated."),
    )

    def __init__(
        self, data: QueryDict | None = None, *, barn: Barn, blankets: Sequence[Blanket] = (), **kwargs: Any
    ) -> None:
        super().__init__(data, **kwargs)
        self.to_accept: list[str] = []
        self.us = barn.units == Units.US
        self.blankets = [one for one in blankets if one.kind in ON_A_CHART]
        tolerance = self.fields["tolerance"]
        tolerance.label = _("Tolerance, %(unit)s") % {"unit": units.degree(us=self.us)}
        tolerance.help_text = _("So near an edge the next line is as good. Empty: none.")
        self.count = self._count(data)
        for number in range(self.count):
            self._add_line(number)

    def _count(self, data: QueryDict | None) -> int:
        count = _counted(data.get("lines") if data is not None else self.initial.get("lines", FIRST_LINES))
        self.initial.setdefault("lines", count)
        return count

    def _add_line(self, number: int) -> None:
        def put(part: str, field: forms.Field) -> None:
            self.fields[f"line{number}_{part}"] = field

        unit = {"unit": units.degree(us=self.us)}
        put("from", FigureField(label=_("From, %(unit)s") % unit, required=False))
        put("below", FigureField(label=_("To below, %(unit)s") % unit, required=False))
        put("place", _tiles(_("Where"), PLACES, initial=""))
        put("wet", _tiles(_("Weather"), WEATHERS, initial=""))
        wear = [(NOTHING, _("Nothing")), *ChartFill.choices]
        put("wear", _tiles(_("What to put on"), [*wear, (THESE, _("These blankets"))] if self.blankets else wear))
        if self.blankets:
            tags = [(one.tag, _described(one)) for one in self.blankets]
            put("tags", _boxes(_("Which blankets"), tags))
        put("neck", forms.BooleanField(label=_("With the neck on"), required=False))
        put("common", _boxes(_("Common notes"), ChartNote.choices))
        put("note", forms.CharField(label=_("Note in your own words"), max_length=120, required=False))

    def line_fields(self) -> Iterator[LineFields]:
        for number in range(self.count):
            fields = {part: self[name] for part in PARTS if (name := f"line{number}_{part}") in self.fields}
            errors = any(field.errors for field in fields.values())
            row = self.row(number) if self.is_bound and not errors else self._initial_row(number)
            yield LineFields(number, fields, chart_words.line(row, us=self.us) if row else "", errors)

    def clean_tolerance(self) -> float:
        given = self.cleaned_data["tolerance"] or 0.0
        tolerance_c = units.celsius_difference(given, us=self.us)
        if tolerance_c > 5.0001:
            most = chart_words.difference(5, us=self.us)
            raise forms.ValidationError(_("At most %(most)s.") % {"most": most})
        return min(5.0, round(tolerance_c, 6))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for number in range(self.count):
            if self._is_written(number):
                self._check(number)
        if not self.errors and not any(self._is_written(number) for number in range(self.count)):
            self.add_error("line0_wear", _("A chart needs at least one line: what goes on at which temperature?"))
        return cleaned

    def _is_written(self, number: int) -> bool:
        """An empty line is no line. What the tiles of place and weather say alone says nothing yet."""
        return any(
            self._said(number, part) not in (None, "", [], False) for part in PARTS if part not in ("place", "wet")
        )

    def _said(self, number: int, part: str) -> Any:
        return self.cleaned_data.get(f"line{number}_{part}")

    def _check(self, number: int) -> None:
        def wrong(part: str, sentence: str) -> None:
            self.add_error(f"line{number}_{part}", sentence)

        wear, place = self._said(number, "wear"), self._said(number, "place")
        low, high = self._celsius(number, "from"), self._celsius(number, "below")
        if not wear and f"line{number}_wear" not in self.errors:
            wrong("wear", _("What goes on at these temperatures?"))
        if low is not None and high is not None and high <= low:
            wrong("below", _("A line must end above where it begins."))
        for part, edge in (("from", low), ("below", high)):
            if edge is not None and not AIR_C[0] <= edge <= AIR_C[1]:
                wrong(part, _("Between %(low)s and %(high)s.") % self._limits())
        if place == PlaceKind.STALL and self._said(number, "wet") == charts.Wetness.WET_OR_WINDY:
            wrong("wet", _("In a stall it is neither wet nor windy: choose dry, or both."))
        if wear == THESE:
            self._check_tags(number, wrong)

    def _check_tags(self, number: int, wrong: Any) -> None:
        tags = self._tags(number)
        if not tags:
            wrong("tags", _("Tick at least one blanket."))
        elif as_worn(tags, self.blankets) is None:
            wrong("tags", _("These cannot be worn together: one outer blanket, and under it what is not waterproof."))

    def _limits(self) -> dict[str, str]:
        return {name: chart_words.degrees(end, us=self.us) for name, end in zip(("low", "high"), AIR_C, strict=True)}

    def _celsius(self, number: int, part: str) -> float | None:
        given = self._said(number, part)
        return None if given is None else units.celsius(given, us=self.us)

    def _tags(self, number: int) -> tuple[str, ...]:
        chosen = set(self._said(number, "tags") or ())
        worn = sorted(self.blankets, key=lambda one: (FROM_THE_SKIN.get(one.kind, 3), one.tag))
        return tuple(one.tag for one in worn if one.tag in chosen)

    def row(self, number: int) -> charts.Row | None:
        """A line as it was typed, where it says something."""
        if not self._is_written(number):
            return None
        wear, place, wet = (self._said(number, part) for part in ("wear", "place", "wet"))
        return charts.Row(
            from_c=self._celsius(number, "from"),
            below_c=self._celsius(number, "below"),
            place=PlaceKind(place) if place else None,
            wet=charts.Wetness(wet) if wet else None,
            tags=self._tags(number) if wear == THESE else (),
            fill=FillWord(wear) if wear in list(FillWord) else None,
            neck=bool(self._said(number, "neck")) and wear != NOTHING,
            note=self._said(number, "note") or "",
            picked=tuple(self._said(number, "common") or ()),
        )

    def _initial_row(self, number: int) -> charts.Row | None:
        found = self.initial.get(f"line{number}_row")
        return found if isinstance(found, charts.Row) else None

    def written(self) -> Written:
        rows = [row for number in range(self.count) if (row := self.row(number))]
        said = self.cleaned_data
        return Written(
            rows=in_order(rows),
            feels_like=said["temperatures"] == "feels",
            tolerance_c=said["tolerance"],
            override=said["override"],
            note=said["remark"],
        )

    def asks_first(self) -> bool:
        """Whether the chart has gaps or overlaps of which nobody has said yet that it is to be saved so.

        Then the form holds their sentences, and its next sending says so of these and no others.
        """
        found = charts.faults(self.written().rows)
        named = "|".join(f"{one.kind} {one.place} {one.wet} {one.from_c:.3f} {one.below_c:.3f}" for one in found)
        named = hashlib.sha256(named.encode()).hexdigest() if found else ""
        if not found or self.cleaned_data["accepted"] == named:
            return False
        self.to_accept = [chart_words.fault(one, us=self.us) for one in found]
        self.data = cast(QueryDict, self.data).copy()
        self.data["accepted"] = named
        return True


def initial_of(chart: Written, barn: Barn) -> dict[str, Any]:
    """What the form shows of a chart."""
    us = barn.units == Units.US
    initial: dict[str, Any] = {
        "temperatures": "feels" if chart.feels_like else "air",
        "tolerance": round(units.difference(chart.tolerance_c, us=us), 2),
        "override": chart.override,
        "remark": chart.note,
        "lines": max(1, len(chart.rows)),
    }
    for number, row in enumerate(chart.rows):
        initial |= {f"line{number}_{part}": value for part, value in _initial_line(row, us=us).items()}
    return initial


def _initial_line(row: charts.Row, *, us: bool) -> dict[str, Any]:
    return {
        "row": row,
        "from": None if row.from_c is None else chart_words.in_barns_units(row.from_c, us=us),
        "below": None if row.below_c is None else chart_words.in_barns_units(row.below_c, us=us),
        "place": row.place or "",
        "wet": row.wet or "",
        "wear": THESE if row.tags else row.fill or NOTHING,
        "tags": list(row.tags) or None,
        "neck": row.neck,
        "common": list(row.picked) or None,
        "note": row.note,
    }


def reshaped(sent: QueryDict, *, add: bool = False, drop: int | None = None) -> dict[str, Any]:
    """What was typed, as the start of a form with a line more or less: nothing is lost and nothing is judged yet."""
    kept = [number for number in range(_counted(sent.get("lines"))) if number != drop]
    typed: dict[str, Any] = {name: sent.get(name, "") for name in OF_THE_WHOLE}
    for new, old in enumerate(kept):
        for part in PARTS:
            name = f"line{old}_{part}"
            typed[f"line{new}_{part}"] = sent.getlist(name) if part in SEVERAL else sent.get(name, "")
    lines = len(kept) + (1 if add else 0)
    return {**typed, "lines": min(max(lines, 1), MOST_LINES)}


def _counted(given: Any) -> int:
    count = int(given) if COUNT.fullmatch(str(given)) else 1
    return min(max(count, 1), MOST_LINES)


def _tiles(label: str, choices: Sequence[Any], **how: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=choices, widget=forms.RadioSelect, required=False, **how)


def _boxes(label: str, choices: Sequence[Any]) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(label=label, choices=choices, widget=forms.CheckboxSelectMultiple, required=False)


def _described(blanket: Blanket) -> str:
    return f"{blanket.tag}, {blanket.fill_g:g} g"


class EndForm(OnceForm):
    """Names the version that it ends."""

    chart = forms.ModelChoiceField(queryset=Chart.objects.none(), widget=forms.HiddenInput)
    why = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("For the journal, if you like."),
    )

    def __init__(self, *args: Any, barn: Barn, horse: Horse | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        versions = (
            Chart.objects.filter(barn=barn, horse=horse) if horse else Chart.objects.filter(barn=barn, horse=None)
        )
        cast(forms.ModelChoiceField, self.fields["chart"]).queryset = versions
