"""From rows to a whole typical year: no hour twice, none missing, precipitation judged, clear nights computed."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.weather import precip, sun
from barnrugs.weather.hours import Site, Slot, WeatherYear, YearHour, leap_day_slots, ordinary_slots
from barnrugs.weather.text import EnoughError, Faults, Text


@dataclass(frozen=True)
class Layout:
    """How a source writes its rows.

    read_row: cells -> the hour and its precipitation as written; ValueError with a sentence for what is wrong.
    """

    kind: str
    first_line: int
    width: int
    read_row: Callable[[list[str]], tuple[YearHour, precip.Reading]]


def read_year(text: Text, site: Site, layout: Layout, faults: Faults) -> WeatherYear:
    """Raises WeatherFileFault with all that was found."""
    try:
        rows = _rows(text, layout, faults)
        faults.raise_if_any()
        _check_whole(rows, faults)
    except EnoughError:
        pass
    faults.raise_if_any()
    ordered = [rows[slot] for slot in sorted(rows)]
    return _finish(layout.kind, site, [row.hour for row in ordered], [row.reading for row in ordered])


@dataclass(frozen=True)
class _Row:
    line: int
    hour: YearHour
    reading: precip.Reading


def _rows(text: Text, layout: Layout, faults: Faults) -> dict[Slot, _Row]:
    rows: dict[Slot, _Row] = {}
    for line, cells in _cells(text, layout.first_line, layout.width, faults):
        try:
            hour, reading = layout.read_row(cells)
        except ValueError as error:
            faults.add(line, str(error))
            continue
        if hour.slot in rows:
            faults.add(
                line, _("%(hour)s stands already in line %(line)d") % {"hour": hour.slot, "line": rows[hour.slot].line}
            )
        rows.setdefault(hour.slot, _Row(line, hour, reading))
    return rows


def _cells(text: Text, first_line: int, width: int, faults: Faults) -> Iterator[tuple[int, list[str]]]:
    last = max((count for count, line in enumerate(text.lines, 1) if line.strip()), default=0)
    for line in range(first_line, last + 1):
        cells = text.line(line).split(",")
        if len(cells) == width:
            yield line, cells
        else:
            figures = {"columns": len(cells), "wanted": width}
            cut = _("%(columns)d columns instead of %(wanted)d; the file is cut off here") % figures
            short = _("%(columns)d columns instead of %(wanted)d") % figures
            faults.add(line, cut if line == last and len(cells) < width else short)


def _check_whole(rows: dict[Slot, _Row], faults: Faults) -> None:
    if not rows:
        faults.add(None, _("no hours follow the head of the file"))
        return
    for gap in _gaps(rows):
        before = max((slot for slot in rows if slot < gap[0]), default=None)
        faults.add(rows[before].line if before else None, _missing(gap, after=before is not None))
    for name in ("air_c", "wind_10m_ms"):
        if all(getattr(row.hour, name) is None for row in rows.values()):
            faults.add(None, _("no hour has a value of %(quantity)s") % {"quantity": WORDS[name]})


WORDS = {"air_c": gettext_lazy("air temperature"), "wind_10m_ms": gettext_lazy("wind speed")}


def _missing(gap: Sequence[Slot], *, after: bool) -> str:
    figures = {"first": gap[0], "last": gap[-1], "hours": f"{len(gap):,}"}
    if len(gap) == 1:
        return (_("after it %(first)s is missing") if after else _("%(first)s is missing")) % figures
    if after:
        return _("after it %(hours)s hours from %(first)s to %(last)s are missing") % figures
    return _("%(hours)s hours from %(first)s to %(last)s are missing") % figures


def _gaps(rows: dict[Slot, _Row]) -> list[list[Slot]]:
    """Runs of hours that the calendar has and the rows lack; 29 February is whole or absent."""
    leap = leap_day_slots()
    calendar = sorted(ordinary_slots() + (leap if any(slot in rows for slot in leap) else []))
    runs = groupby(calendar, key=lambda slot: slot in rows)
    return [list(run) for present, run in runs if not present]


def _finish(kind: str, site: Site, hours: Sequence[YearHour], readings: Sequence[precip.Reading]) -> WeatherYear:
    depths, why = precip.judge(readings)
    nights = sun.clear_night([hour.slot for hour in hours], [hour.sky_cover for hour in hours], site)
    done = [replace(h, precip_mm=mm, clear_night=night) for h, mm, night in zip(hours, depths, nights, strict=True)]
    unknown = tuple(Counter(why).most_common())
    note = {"code": "unknown_precip", "hours": len(done), "why": [[reason.value, count] for reason, count in unknown]}
    return WeatherYear(kind, site, tuple(done), unknown, (note,) if unknown else ())
