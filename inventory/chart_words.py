"""A chart's lines as words, in the barn's units and the reader's language."""

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.matching import units
from barnrugs.matching.charts import Fault, FaultKind, Row, Wetness
from barnrugs.matching.limits import AIR_C
from barnrugs.matching.words import PlaceKind
from inventory.enums import ChartFill, ChartNote

COLUMN_WORDS: Final = {
    (PlaceKind.TURNOUT, Wetness.DRY): gettext_lazy("Out, dry"),
    (PlaceKind.TURNOUT, Wetness.WET_OR_WINDY): gettext_lazy("Out, wet or windy"),
    (PlaceKind.STALL, Wetness.DRY): gettext_lazy("In a stall"),
}
PLACE_WORDS: Final = {
    None: gettext_lazy("out and in"),
    PlaceKind.TURNOUT: gettext_lazy("out"),
    PlaceKind.STALL: gettext_lazy("in a stall"),
}
WET_WORDS: Final = {
    None: gettext_lazy("in any weather"),
    Wetness.DRY: gettext_lazy("dry"),
    Wetness.WET_OR_WINDY: gettext_lazy("wet or windy"),
}


def in_barns_units(celsius: float, *, us: bool) -> float:
    """Rounded to a tenth, so that what was typed comes back."""
    return round(units.temperature(celsius, us=us), 1)


def figure(celsius: float, *, us: bool) -> str:
    return units.with_minus(f"{in_barns_units(celsius, us=us):g}")


def degrees(celsius: float, *, us: bool) -> str:
    return f"{figure(celsius, us=us)}{units.JOINED}{units.degree(us=us)}"


def difference(celsius: float, *, us: bool) -> str:
    return f"{round(units.difference(celsius, us=us))}{units.JOINED}{units.degree(us=us)}"


def span(from_c: float | None, below_c: float | None, *, us: bool) -> str:
    """For example "20 to 35 °F", "below 20 °F"."""
    if from_c is None and below_c is None:
        return _("at any temperature")
    if from_c is None:
        return _("below %(edge)s") % {"edge": degrees(below_c or 0.0, us=us)}
    if below_c is None:
        return _("%(edge)s and above") % {"edge": degrees(from_c, us=us)}
    return _("%(low)s to %(high)s") % {"low": figure(from_c, us=us), "high": degrees(below_c, us=us)}


def put_on(row: Row) -> str:
    """For example "medium, neck on", "WRN22 + LNR44", "nothing"."""
    if row.tags:
        words = " + ".join(row.tags)
    elif row.fill:
        words = str(ChartFill(row.fill).label).lower()
    else:
        return _("nothing on")
    return _("%(blanket)s, neck on") % {"blanket": words} if row.neck else words


def notes(row: Row) -> str:
    """The common notes that were picked, then the keeper's own words."""
    said = [picked(name) for name in row.picked]
    return "; ".join([*said, row.note] if row.note else said)


def picked(name: str) -> str:
    """A common note in the reader's language; a name that is no longer known is said as it is."""
    return str(ChartNote(name).label) if name in ChartNote.values else name


def line(row: Row, *, us: bool) -> str:
    """The whole line, for example "20 to 35 °F, out, dry: medium (Feel under it for sweat)"."""
    where = [str(PLACE_WORDS[row.place]), str(WET_WORDS[row.wet])]
    if row.place is PlaceKind.STALL:
        where.pop()
    said = f"{span(row.from_c, row.below_c, us=us)}, {', '.join(where)}: {put_on(row)}"
    noted = notes(row)
    return f"{said} ({noted})" if noted else said


def fault(found: Fault, *, us: bool) -> str:
    low = None if found.from_c <= AIR_C[0] else found.from_c
    high = None if found.below_c >= AIR_C[1] else found.below_c
    ends = {"column": COLUMN_WORDS[found.place, found.wet], "span": span(low, high, us=us)}
    if found.kind is FaultKind.GAP:
        return _("%(column)s, %(span)s: no line says what to put on.") % ends
    return _("%(column)s, %(span)s: more than one line speaks; the upper one counts.") % ends


def short_span(from_c: float | None, below_c: float | None, *, us: bool) -> str:
    """For a table whose head names the unit: "40 to 50", "below 20", "50 and up"."""
    if from_c is None and below_c is None:
        return _("any")
    if from_c is None:
        return _("below %(edge)s") % {"edge": figure(below_c or 0.0, us=us)}
    if below_c is None:
        return _("%(edge)s and up") % {"edge": figure(from_c, us=us)}
    return _("%(low)s to %(high)s") % {"low": figure(from_c, us=us), "high": figure(below_c, us=us)}
