"""A chart drawn against the heat balance: for each column its lines over temperature, beside the comfort bands."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from django.utils.translation import gettext as _

from barnrugs.matching import charts, units
from barnrugs.matching.charts import FaultKind, Row
from inventory import chart_words
from inventory.domain.chart_bands import SAMPLE_FILL_G, Band, Column, Compared, Disagreement, Weight
from inventory.enums import ChartFill
from inventory.views.band import ticks

WIDTH: Final = 360
LEFT: Final = 58
BOX: Final = 112
BANDS_FROM: Final = 190
BAND: Final = 26
BAND_STEP: Final = 34
TOP: Final = 30
BOTTOM: Final = 12
HEIGHTS: Final = (240, 560)
LETTER: Final = 8.0
LETTERS_HIGH: Final = 14
"""How much room letters of 14 px take."""

LINE_NEEDS: Final = 24
"""Height that a line of the chart needs for its word."""


@dataclass(frozen=True)
class Box:
    """A stretch of temperature: a line of the chart, or a gap in it. wrong: cold or warm where they disagree."""

    x: float
    y: float
    width: float
    height: float
    text: str = ""
    gap: bool = False

    @property
    def middle(self) -> float:
        return round(self.y + self.height / 2, 1)


@dataclass(frozen=True)
class Mark:
    at: float
    text: str


@dataclass(frozen=True)
class Wrong:
    """Where a line leaves its comfort band: a stroke beside the line, cold or warm."""

    kind: str
    x: float
    top: float
    bottom: float


@dataclass(frozen=True)
class Drawing:
    title: str
    words: str
    height: int
    degrees: tuple[Mark, ...]
    heads: tuple[Mark, ...]
    lines: tuple[Box, ...]
    bands: tuple[Box, ...]
    wrongs: tuple[Wrong, ...]
    bottom: int

    width: int = WIDTH
    left: int = LEFT
    head_y: int = TOP - 12


@dataclass(frozen=True)
class Scale:
    """Temperatures to heights; the warm end is at the top."""

    low_c: float
    high_c: float
    height: int

    def y(self, celsius: float) -> float:
        inside = min(max(celsius, self.low_c), self.high_c)
        share = (self.high_c - inside) / (self.high_c - self.low_c)
        return round(TOP + share * (self.height - TOP - BOTTOM), 1)


def draw(chart: charts.Chart, compared: Compared, *, us: bool) -> list[Drawing]:
    return [_column(chart, compared, column, us=us) for column in compared.by_weight]


def _column(chart: charts.Chart, compared: Compared, column: Column, *, us: bool) -> Drawing:
    rows = charts.of_column(chart.rows, *column)
    scale = _scale(rows, compared.range_c)
    bands = compared.by_weight[column]
    wrong = [one for one in compared.disagreements if one.column == column]
    return Drawing(
        title=str(chart_words.COLUMN_WORDS[column]),
        words=in_words(rows, bands, column, us=us),
        height=scale.height,
        degrees=tuple(
            Mark(scale.y(mark), units.whole_degrees(mark, us=us)) for mark in ticks(scale.low_c, scale.high_c, us=us)
        ),
        heads=(
            Mark(LEFT + BOX / 2, _("chart")),
            *(Mark(_band_x(number) + BAND / 2, _head(weight)) for number, weight in enumerate(bands)),
        ),
        lines=(*_lines(rows, scale), *_gaps(chart.rows, column, scale)),
        bands=tuple(_band(number, band, scale) for number, band in enumerate(bands.values())),
        wrongs=tuple(stroke for one in wrong for stroke in _strokes(one, scale)),
        bottom=scale.height - BOTTOM,
    )


def _scale(rows: Sequence[Row], range_c: tuple[float, float]) -> Scale:
    """As high as the narrowest line needs for its word, within limits."""
    low, high = range_c
    narrowest = min((min(row.high, high) - max(row.low, low) for row in rows), default=high - low)
    needed = TOP + BOTTOM + (high - low) * LINE_NEEDS / max(narrowest, 0.5)
    return Scale(low, high, round(min(max(needed, HEIGHTS[0]), HEIGHTS[1])))


def _lines(rows: Sequence[Row], scale: Scale) -> list[Box]:
    """Side by side where two speak for the same temperature."""
    found = []
    for number, row in enumerate(rows):
        shared = [other for other in rows if other is not row and other.low < row.high and row.low < other.high]
        width = BOX / 2 if shared else BOX
        right = any(rows.index(other) < number for other in shared)
        top, bottom = scale.y(row.high), scale.y(row.low)
        text = _fitting(chart_words.put_on(row), width) if bottom - top >= LETTERS_HIGH else ""
        found.append(Box(LEFT + (width if right else 0), top, width, round(bottom - top, 1), text))
    return found


def _fitting(text: str, width: float) -> str:
    most = int(width / LETTER)
    return text if len(text) <= most else f"{text[: most - 1]}…"


def _gaps(rows: Sequence[Row], column: Column, scale: Scale) -> list[Box]:
    gaps = [one for one in charts.faults(rows) if one.kind is FaultKind.GAP and (one.place, one.wet) == column]
    spans = [(scale.y(one.below_c), scale.y(one.from_c)) for one in gaps]
    return [
        Box(LEFT, top, BOX, round(low - top, 1), _("gap") if low - top >= LETTERS_HIGH else "", gap=True)
        for top, low in spans
        if low - top > 1
    ]


def _band(number: int, band: Band, scale: Scale) -> Box:
    top, bottom = scale.y(band.high_c), scale.y(band.low_c)
    return Box(_band_x(number), top, BAND, max(0.0, round(bottom - top, 1)))


def _band_x(number: int) -> float:
    return BANDS_FROM + number * BAND_STEP


def _head(weight: Weight) -> str:
    return _("bare") if weight is None else f"{SAMPLE_FILL_G[weight]:g}"


def _strokes(wrong: Disagreement, scale: Scale) -> list[Wrong]:
    x = LEFT + BOX + 6
    found = []
    if wrong.too_cold:
        found.append(Wrong("cold", x, scale.y(wrong.cold_below_c), scale.y(wrong.row.low)))
    if wrong.too_warm:
        found.append(Wrong("warm", x, scale.y(wrong.row.high), scale.y(wrong.warm_above_c)))
    return found


def in_words(rows: Sequence[Row], bands: dict[Weight, Band], column: Column, *, us: bool) -> str:
    """What the drawing shows."""
    lines = "; ".join(f"{chart_words.span(row.from_c, row.below_c, us=us)}: {chart_words.put_on(row)}" for row in rows)
    ranges = "; ".join(f"{weight_word(weight)}: {_range(weight, band, us=us)}" for weight, band in bands.items())
    return _("%(column)s. The chart: %(lines)s. Computed as comfortable: %(ranges)s.") % {
        "column": chart_words.COLUMN_WORDS[column],
        "lines": lines or _("nothing"),
        "ranges": ranges,
    }


def _range(weight: Weight, band: Band, *, us: bool) -> str:
    low = units.whole_degrees(band.low_c, us=us)
    if weight is None:
        return _("%(edge)s and above") % {"edge": low}
    return _("%(low)s to %(high)s") % {"low": low, "high": units.whole_degrees(band.high_c, us=us)}


def weight_word(weight: Weight) -> str:
    return _("nothing on") if weight is None else str(ChartFill(weight).label).lower()


def disagreement(wrong: Disagreement, *, us: bool) -> str:
    """For example "Out, dry, 40 to 50 °F: medium is too warm above 41 °F, by up to 9 °F. Computed there: light."."""
    row = wrong.row
    where = {
        "column": chart_words.COLUMN_WORDS[wrong.column],
        "span": chart_words.span(row.from_c, row.below_c, us=us),
        "blanket": chart_words.put_on(row),
    }
    said = []
    if wrong.too_cold:
        edge = {"edge": units.whole_degrees(wrong.cold_below_c, us=us)}
        by = {"by": chart_words.difference(wrong.too_cold, us=us)}
        said.append(
            _("%(column)s, %(span)s: %(blanket)s is too cold below %(edge)s, by up to %(by)s.")
            % {**where, **edge, **by}
        )
    if wrong.too_warm:
        edge = {"edge": units.whole_degrees(wrong.warm_above_c, us=us)}
        by = {"by": chart_words.difference(wrong.too_warm, us=us)}
        said.append(
            _("%(column)s, %(span)s: %(blanket)s is too warm above %(edge)s, by up to %(by)s.")
            % {**where, **edge, **by}
        )
    words = [weight_word(one) for one in wrong.suits[:2]]
    if words:
        said.append(_("Computed as comfortable there: %(weights)s.") % {"weights": _(" or ").join(words)})
    else:
        said.append(_("None of these weights is comfortable there."))
    return " ".join(said)
