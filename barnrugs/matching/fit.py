"""Whether a blanket fits: what was tried beats arithmetic, arithmetic beats nothing.

The size line runs from the centre of the chest round the widest part of shoulder, barrel and hip to the centre of the
tail, in inches; the continental size runs along the back, in centimetres: a different line, never converted into the
other. A horse that measures 78 inches wears a 78; between sizes, go up (common practice, no source).
"""

import math
from enum import StrEnum
from typing import Final

from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import Blanket
from barnrugs.matching.words import Build, Cut, Fit

STEP_IN: Final = 3.0
STEP_CM: Final = 5.0
"""One size step of either line (M)."""

SIZES_GO_BY_IN: Final = 2
"""Sizes are made in even inches (common practice, no source)."""

GROWN_FROM_YEARS: Final = 4.0
MEASURE_LASTS_DAYS: Final = {False: 90, True: 365}
"""How long a measurement holds for a growing and for a grown horse, days (A)."""

CUTS_AGAINST: Final = {
    Build.STOCKY: frozenset({Cut.NARROW}),
    Build.AVERAGE: frozenset(),
    Build.FINE: frozenset({Cut.BROAD, Cut.COB, Cut.DRAFT}),
}
"""Cuts that do not suit a build (common practice, no source)."""


class Size(StrEnum):
    """A blanket's size against the horse's measure."""

    RIGHT = "right"
    STEP_UNDER = "step_under"
    STEP_OVER = "step_over"
    TOO_SMALL = "too_small"
    TOO_LARGE = "too_large"
    UNKNOWN = "unknown"


def size(blanket: Blanket, horse: Horse) -> Size:
    """The arithmetic alone, whatever was tried: along the chest-to-tail line, else along the back, else unknown."""
    over, step = _over(blanket, horse)
    return Size.UNKNOWN if over is None else _graded(over, step)


def _over(blanket: Blanket, horse: Horse) -> tuple[float | None, float]:
    if blanket.size_in is not None and horse.chest_to_tail_in is not None:
        return round(blanket.size_in - horse.chest_to_tail_in, 3), STEP_IN
    if blanket.size_back_cm is not None and horse.back_length_cm is not None:
        return round(blanket.size_back_cm - horse.back_length_cm, 3), STEP_CM
    return None, STEP_IN


def _graded(over: float, step: float) -> Size:
    if over < 0:
        return Size.STEP_UNDER if over >= -step else Size.TOO_SMALL
    if over < step:
        return Size.RIGHT
    return Size.STEP_OVER if over == step else Size.TOO_LARGE


def size_figures(blanket: Blanket, horse: Horse) -> dict[str, float]:
    """Size, measure and their difference, named by the unit of the line that both are known on."""
    over, step = _over(blanket, horse)
    if over is None:
        return {}
    if step == STEP_IN:
        return {"by_in": abs(over), "size_in": blanket.size_in or 0.0, "measure_in": horse.chest_to_tail_in or 0.0}
    return {"by_cm": abs(over), "size_cm": blanket.size_back_cm or 0.0, "measure_cm": horse.back_length_cm or 0.0}


def was_tried_and_fits(blanket: Blanket) -> bool:
    """A note that it fits this horse stands above size, cut and the age of the measurement."""
    return blanket.fit is Fit.FITS


def cut_against_build(cut: Cut, build: Build) -> bool:
    return cut in CUTS_AGAINST[build]


def measure_lasts_days(age_years: float) -> int:
    return MEASURE_LASTS_DAYS[age_years >= GROWN_FROM_YEARS]


def measure_is_old(horse: Horse) -> bool:
    """Whether the horse should be measured again; an unknown age of the measurement is not old."""
    return horse.measured_days_ago is not None and horse.measured_days_ago > measure_lasts_days(horse.age_years)


def next_size_in(chest_to_tail_in: float) -> int:
    """The size to look for: the measure itself if it is one, else the next even size up."""
    return SIZES_GO_BY_IN * math.ceil(round(chest_to_tail_in, 3) / SIZES_GO_BY_IN)
