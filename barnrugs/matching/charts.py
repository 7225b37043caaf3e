"""A keeper's own chart: temperature bands, dry or wet-or-windy, what to put on in each (common practice, no source)."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from barnrugs.matching import standards, units, weather
from barnrugs.matching.limits import AIR_C
from barnrugs.matching.strength import FillWord
from barnrugs.matching.words import PlaceKind

WINDY_FROM_MS = 6.0
"""Mean wind at 10 m above which the wet-or-windy column is read (A)."""

CONTRADICTS_C = 3.0
"""A chart's answer is contradicted when the air lies further than this outside its comfort band, degC (A)."""


class Wetness(StrEnum):
    DRY = "dry"
    WET_OR_WINDY = "wet_or_windy"


COLUMNS = (
    (PlaceKind.TURNOUT, Wetness.DRY),
    (PlaceKind.TURNOUT, Wetness.WET_OR_WINDY),
    (PlaceKind.STALL, Wetness.DRY),
)
"""What a chart can be read for: in a stall it is neither wet nor windy."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a chart: from from_c up to, not including, below_c, in degC; None is open.

    place, wet: None stands for both. What to put on: tags by name, else a blanket of fill; neither: nothing on.
    note: the keeper's own words; picked: names of common notes.
    """

    from_c: float | None
    below_c: float | None
    place: PlaceKind | None = None
    wet: Wetness | None = None
    tags: tuple[str, ...] = ()
    fill: FillWord | None = None
    neck: bool = False
    note: str = ""
    picked: tuple[str, ...] = ()

    def spans(self, celsius: float) -> bool:
        return self.low <= celsius < self.high

    @property
    def low(self) -> float:
        return -np.inf if self.from_c is None else self.from_c

    @property
    def high(self) -> float:
        return np.inf if self.below_c is None else self.below_c


@dataclass(frozen=True, slots=True)
class Chart:
    """feels_like: the temperatures are wind chill, not air. tolerance_c: how near an edge the next row is as good."""

    rows: tuple[Row, ...]
    feels_like: bool = False
    tolerance_c: float = 0.0


@dataclass(frozen=True, slots=True)
class Reading:
    """What a chart says for a stay: its row, None where it has a gap, and the rows within the tolerance.

    read_c: the temperature it was read at; at: number of that hour; place, wet: the column.
    """

    row: Row | None
    also: tuple[Row, ...]
    read_c: float
    at: int
    place: PlaceKind
    wet: Wetness


class FaultKind(StrEnum):
    GAP = "gap"
    OVERLAP = "overlap"


@dataclass(frozen=True, slots=True)
class Fault:
    """Temperatures that no row, or more than one, speaks for in one column."""

    kind: FaultKind
    place: PlaceKind
    wet: Wetness
    from_c: float
    below_c: float


def read(chart: Chart, stay: weather.Stay) -> Reading:
    """The chart read for a stay: outdoors at the warmest hour, all in a stall at the coldest.

    Wet or windy if rain or snow is expected, or it is unknown, or the mean wind is above 6 m/s. Raises NoAnswer outside
    the limits of the weather.
    """
    weather.check(stay)
    outdoors = weather.outdoor(stay)
    felt = _felt_c(chart, stay)
    place = PlaceKind.TURNOUT if outdoors.any() else PlaceKind.STALL
    at = int(np.argmax(np.where(outdoors, felt, -np.inf))) if outdoors.any() else int(np.argmin(felt))
    wet = _wetness(stay) if outdoors.any() else Wetness.DRY
    column = of_column(chart.rows, place, wet)
    row = next((row for row in column if row.spans(felt[at])), None)
    near = tuple(
        other
        for other in column
        if other is not row and other.low - chart.tolerance_c <= felt[at] < other.high + chart.tolerance_c
    )
    return Reading(row, near, float(felt[at]), at, place, wet)


def faults(rows: Sequence[Row]) -> list[Fault]:
    """Gaps and overlaps of a chart in each of its columns, over the temperatures that advice is given for."""
    return [fault for place, wet in columns(rows) for fault in _column_faults(rows, place, wet)]


def columns(rows: Sequence[Row]) -> list[tuple[PlaceKind, Wetness]]:
    """The columns that a chart speaks of. It need not speak of a place at all; where it does, it should be whole."""
    return [column for column in COLUMNS if any(row.place in (None, column[0]) for row in rows)]


def of_column(rows: Sequence[Row], place: PlaceKind, wet: Wetness) -> list[Row]:
    """The rows that speak for a column, in their order."""
    return [row for row in rows if row.place in (None, place) and row.wet in (None, wet)]


def _column_faults(rows: Sequence[Row], place: PlaceKind, wet: Wetness) -> Iterator[Fault]:
    column = of_column(rows, place, wet)
    edges = {*AIR_C, *(edge for row in column for edge in (row.low, row.high) if AIR_C[0] < edge < AIR_C[1])}
    for low, high in pairwise(sorted(edges)):
        speaking = sum(row.spans((low + high) / 2) for row in column)
        if speaking != 1:
            yield Fault(FaultKind.OVERLAP if speaking else FaultKind.GAP, place, wet, low, high)


def _felt_c(chart: Chart, stay: weather.Stay) -> weather.Floats:
    air = weather.air_c(stay)
    if not chart.feels_like:
        return air
    outdoors = weather.outdoor(stay)
    felt = [
        feels_like_c(float(celsius), hour.wind_10m_ms) if outside else float(celsius)
        for celsius, hour, outside in zip(air, stay.hours, outdoors, strict=True)
    ]
    return np.array(felt)


def feels_like_c(air_c: float, wind_10m_ms: float) -> float:
    """Wind chill where it is defined, elsewhere the air itself, degC. Of a bare human face: not valid for hair."""
    kmh = units.kmh_from_ms(wind_10m_ms)
    if air_c > standards.WIND_CHILL_TO_C or kmh <= standards.WIND_CHILL_FROM_KMH:
        return air_c
    return standards.wind_chill_c(air_c, kmh)


def _wetness(stay: weather.Stay) -> Wetness:
    expected, unknown = weather.precipitation_expected(stay)
    outdoors = weather.outdoor(stay)
    wind = [hour.wind_10m_ms for hour, outside in zip(stay.hours, outdoors, strict=True) if outside]
    windy = float(np.mean(wind)) > WINDY_FROM_MS
    return Wetness.WET_OR_WINDY if expected or unknown or windy else Wetness.DRY
