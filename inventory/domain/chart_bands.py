"""A chart held against the heat balance: the comfort band of every weight in a sample hour, and where they disagree."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from barnrugs.matching import charts, heat
from barnrugs.matching.charts import Row, Wetness
from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import BARE, Blanket, Outfit, as_worn
from barnrugs.matching.strength import FillWord
from barnrugs.matching.weather import Hour, Place, Stay
from barnrugs.matching.words import Kind, PlaceKind, PrecipKind, Waterproofing

Column = tuple[PlaceKind, Wetness]

SAMPLE_AIR_C: Final = 0.0
"""A band moves by a degree between -20 and 10 degC of air, so one temperature stands for all."""

SAMPLE_WIND_MS: Final = {Wetness.DRY: 2.0, Wetness.WET_OR_WINDY: 6.0}
SAMPLE_RAIN_MM: Final = {Wetness.DRY: 0.0, Wetness.WET_OR_WINDY: 1.0}
"""What an hour of each column is taken to be (A)."""

SAMPLE_FILL_G: Final = {FillWord.SHEET: 0.0, FillWord.LIGHT: 100.0, FillWord.MEDIUM: 200.0, FillWord.HEAVY: 300.0}
"""The fill that stands for a weight word (A)."""

BEYOND_C: Final = 10.0
"""How far beyond its outermost edge an open line is looked at, degC (A)."""

NO_EDGES_C: Final = (-15.0, 15.0)

Weight = FillWord | None
"""A weight word, or None for nothing on."""


@dataclass(frozen=True, slots=True)
class Band:
    """Between which temperatures of the chart's kind a horse is comfortable in something. Bare is never too warm."""

    low_c: float
    high_c: float


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A line of a chart that leaves its comfort band by more than 3 degC in a column.

    too_cold, too_warm: by how many degC at most, 0 if not; cold_below_c, warm_above_c: from where. suits: the
    weights that are comfortable in the middle of what is wrong, the lightest first.
    """

    column: Column
    row: Row
    too_cold: float
    too_warm: float
    cold_below_c: float
    warm_above_c: float
    suits: tuple[Weight, ...]


@dataclass(frozen=True, slots=True)
class Compared:
    """by_weight: the bands of each column; disagreements in the order of the columns. range_c: what is looked at."""

    by_weight: dict[Column, dict[Weight, Band]]
    disagreements: tuple[Disagreement, ...]
    range_c: tuple[float, float]


def compare(chart: charts.Chart, horse: Horse, outdoors: Place, wardrobe: Sequence[Blanket] = ()) -> Compared:
    """Raises NoAnswer where the heat balance has none for this horse."""
    range_c = range_of(chart.rows)
    by_weight, found = {}, []
    for column in charts.columns(chart.rows):
        rows = charts.of_column(chart.rows, *column)
        named = {row.tags: worn for row in rows if row.tags and (worn := as_worn(row.tags, wardrobe))}
        outfits = [BARE, *(_sample(weight) for weight in SAMPLE_FILL_G), *named.values()]
        bands = _bands(chart, column, horse, outdoors, outfits)
        weights: dict[Weight, Band] = dict(zip((None, *SAMPLE_FILL_G), bands[: len(SAMPLE_FILL_G) + 1], strict=True))
        tagged = dict(zip(named, bands[len(weights) :], strict=True))
        by_weight[column] = weights
        for row in rows:
            band = tagged.get(row.tags) if row.tags else weights[row.fill]
            if band and (wrong := _disagreement(column, row, band, weights, range_c)):
                found.append(wrong)
    return Compared(by_weight, tuple(found), range_c)


def range_of(rows: Sequence[Row]) -> tuple[float, float]:
    """From below the coldest edge of a chart to above its warmest, degC."""
    edges = [edge for row in rows for edge in (row.from_c, row.below_c) if edge is not None]
    return (min(edges) - BEYOND_C, max(edges) + BEYOND_C) if edges else NO_EDGES_C


def _sample(weight: FillWord) -> Outfit:
    fill_g = SAMPLE_FILL_G[weight]
    return Outfit((Blanket(weight, Kind.TURNOUT, fill_g=fill_g, waterproofing=Waterproofing.WATERPROOF),))


def _bands(chart: charts.Chart, column: Column, horse: Horse, outdoors: Place, outfits: Sequence[Outfit]) -> list[Band]:
    place, wet = column
    wind_ms, rain_mm = SAMPLE_WIND_MS[wet], SAMPLE_RAIN_MM[wet]
    kind = PrecipKind.RAIN if rain_mm else None
    hour = Hour(datetime(2000, 1, 1, tzinfo=UTC), SAMPLE_AIR_C, wind_ms, precip_mm=rain_mm, precip_kind=kind)
    stay = Stay((hour,), outdoors if place is PlaceKind.TURNOUT else Place(PlaceKind.STALL))
    comfort = heat.comfort(horse, stay, outfits)
    as_felt = chart.feels_like and place is PlaceKind.TURNOUT

    def said(air_c: float) -> float:
        return charts.feels_like_c(air_c, wind_ms) if as_felt else air_c

    ends = zip(outfits, comfort.low_c[:, 0], comfort.high_c[:, 0], strict=True)
    return [Band(said(float(low)), said(float(high)) if one.layers else float("inf")) for one, low, high in ends]


def _disagreement(
    column: Column, row: Row, band: Band, weights: dict[Weight, Band], range_c: tuple[float, float]
) -> Disagreement | None:
    low, high = max(row.low, range_c[0]), min(row.high, range_c[1])
    too_cold, too_warm = band.low_c - low, high - band.high_c
    cold, warm = too_cold > charts.CONTRADICTS_C, too_warm > charts.CONTRADICTS_C
    if not cold and not warm:
        return None
    middle = (low + min(high, band.low_c)) / 2 if cold else (max(low, band.high_c) + high) / 2
    return Disagreement(
        column=column,
        row=row,
        too_cold=too_cold if cold else 0.0,
        too_warm=too_warm if warm else 0.0,
        cold_below_c=min(high, band.low_c),
        warm_above_c=max(low, band.high_c),
        suits=tuple(one for one, band in weights.items() if band.low_c <= middle <= band.high_c),
    )
