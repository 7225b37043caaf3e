"""The coat: how deep it is, how it grows, what a clip leaves of it. Depth is not hair length: hair lies at an angle."""

from datetime import date, timedelta
from enum import StrEnum
from itertools import pairwise

from barnrugs.matching.words import Clip

DEPTH_PER_LENGTH = 0.5
"""Coat depth over hair length (A)."""

BLANKETED = 0.74
"""Coat of a horse blanketed since autumn over the same horse bare: 43 of 58 mm, DeBoer et al. 2021 (R)."""

FRESH_CLIP_MM = 2.0
"""Depth that a clip leaves (A)."""

CLIPPED_SHARE = {
    Clip.NONE: 0.0,
    Clip.BIB: 0.10,
    Clip.IRISH: 0.30,
    Clip.TRACE: 0.40,
    Clip.BLANKET: 0.55,
    Clip.HUNTER: 0.80,
    Clip.FULL: 1.0,
}
"""Clipped share of the skin (A); the order is common practice, no source."""


class CoatState(StrEnum):
    FRESH_CLIP = "fresh_clip"
    SUMMER = "summer"
    STABLED = "stabled"
    WINTER = "winter"
    WINTER_BLANKETED = "winter_blanketed"


TYPICAL_DEPTH_MM = {
    CoatState.FRESH_CLIP: FRESH_CLIP_MM,
    CoatState.SUMMER: 6.0,
    CoatState.STABLED: 9.5,
    CoatState.WINTER: 26.0,
    CoatState.WINTER_BLANKETED: 26.0 * BLANKETED,
}
"""Depth without a measurement, mm (A); stabled all winter is the middle of 7 to 12."""

NATURAL_COURSE = ((0, 1.0), (52, 1.0), (80, 0.5), (140, 0.0), (243, 0.0), (355, 1.0), (366, 1.0))
"""Winter share of the coat by days since New Year, north: of October to March longest in January and February,
shortest in October and March (DeBoer et al. 2021, R), no growth after the winter solstice (University of Minnesota
Extension, R); summer coat from late May to the end of August (A)."""

GROWTH_MM_PER_MONTH = {True: 10.0, False: 3.0}
"""Hair length regrown in a month while the days shorten, and otherwise (A)."""

DAYS_PER_MONTH = 365.25 / 12
HALF_YEAR_DAYS = 183


def depth_mm(hair_length_mm: float) -> float:
    """Depth of a coat from the length of its hair, mm."""
    return DEPTH_PER_LENGTH * hair_length_mm


def typical_depth_mm(state: CoatState) -> float:
    """Depth of a coat nobody measured, mm."""
    return TYPICAL_DEPTH_MM[state]


def natural_depth_mm(on: date, *, blanketed: bool = False, southern: bool = False) -> float:
    """Depth of an unclipped coat of a horse that lives out, by the date alone, mm (A)."""
    summer = TYPICAL_DEPTH_MM[CoatState.SUMMER]
    winter = TYPICAL_DEPTH_MM[CoatState.WINTER] * (BLANKETED if blanketed else 1.0)
    return summer + (winter - summer) * _winter_share(_northern(on, southern))


def regrown_depth_mm(clipped_on: date, on: date, full_mm: float, *, southern: bool = False) -> float:
    """Depth of the clipped part on a later day, mm: never above the full coat."""
    depth, grown = FRESH_CLIP_MM, 0.0
    for day in range((on - clipped_on).days):
        if depth >= full_mm:
            break
        grown += GROWTH_MM_PER_MONTH[_days_shorten(_northern(clipped_on + timedelta(days=day), southern))]
        depth = FRESH_CLIP_MM + depth_mm(grown / DAYS_PER_MONTH)
    return min(full_mm, depth)


def _northern(day: date, southern: bool) -> date:
    return day + timedelta(days=HALF_YEAR_DAYS) if southern else day


def _days_shorten(day: date) -> bool:
    return (6, 21) <= (day.month, day.day) < (12, 21)


def _winter_share(day: date) -> float:
    at = day.timetuple().tm_yday - 1
    for (before, share), (after, next_share) in pairwise(NATURAL_COURSE):
        if at <= after:
            return share + (next_share - share) * (at - before) / (after - before)
    raise AssertionError("the course spans the year")
