"""How warm an outfit is to a horse over a stay, as one score, and in words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from barnrugs.matching.heat import Comfort
from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import Outfit
from barnrugs.matching.reasons import Code, Reason, because
from barnrugs.matching.words import Clip

Hours = NDArray[np.float64]
Rows = NDArray[np.float64]

WARM_WEIGHS: Final = 1.5
"""A degree too warm against a degree too cold: a sweated horse is wet (A)."""

WEAR_UP_TO: Final = 1.0
CAUTION_UP_TO: Final = 4.0
"""Thermal scores, mean weighted degrees outside the band, that divide the verdicts (A)."""

HARDY_FREE_DEG: Final = 6.0
HARDY_COAT_MM: Final = 15.0
HARDY_BCS: Final = 6.0
"""Degrees of cold that an unclipped, well-covered horse without needs can stand (A)."""

IN_HAND_DEG: Final = 1.0
IN_HAND_COAT_MM: Final = 10.0
"""Degrees above low_c that a thinly coated horse, or one with needs, should have in hand (A)."""


STEADY_DEG: Final = 0.1
"""Air that changes by less is said as one temperature."""


@dataclass(frozen=True, slots=True)
class Warmth:
    """One outfit's row of a Comfort, and what of it counts.

    low_c, high_c, air_c, cold_c, warm_c: [hours], degC, as `heat.Comfort`. score: mean over the hours of degrees cold
    plus 1.5 x degrees warm, as far as they count; cold_share, warm_share: its parts. most_cold, most_warm: degrees
    outside the band at most. highest_low_c, lowest_high_c: the band of the whole stay. in_hand: asked of thin coats and
    needs only.
    """

    outfit: Outfit
    low_c: Hours
    high_c: Hours
    air_c: Hours
    cold_c: Hours
    warm_c: Hours
    hay_kg_per_day: float
    tog: float
    cold_share: float
    warm_share: float
    cold_hours: int
    warm_hours: int
    most_cold: float
    most_warm: float
    highest_low_c: float
    lowest_high_c: float
    in_hand: bool

    @property
    def score(self) -> float:
        return round(self.cold_share + self.warm_share, 6)


def warmths(horse: Horse, outfits: Sequence[Outfit], comfort: Comfort) -> Iterator[Warmth]:
    """The rows of a horse's comfort, one for each outfit."""
    of_rows = (_by_hour(comfort), _by_row(horse, outfits, comfort))
    for outfit, hours, row in zip(outfits, *of_rows, strict=True):
        low_c, high_c, cold_c, warm_c = hours
        yield Warmth(outfit, low_c, high_c, comfort.air_c, cold_c, warm_c, *row)


def _by_hour(comfort: Comfort) -> Iterator[tuple[Hours, ...]]:
    return zip(comfort.low_c, comfort.high_c, comfort.cold_c, comfort.warm_c, strict=True)


def _by_row(horse: Horse, outfits: Sequence[Outfit], comfort: Comfort) -> list[tuple[Any, ...]]:
    cold_c, warm_c = comfort.cold_c, comfort.warm_c
    dressed = np.array([bool(outfit.layers) for outfit in outfits])
    columns = (
        comfort.hay_kg_per_day,
        comfort.tog,
        np.maximum(0.0, cold_c - (HARDY_FREE_DEG if is_hardy(horse) else 0.0)).mean(axis=1),
        np.where(dressed, WARM_WEIGHS * warm_c.mean(axis=1), 0.0),
        (cold_c > 0).sum(axis=1),
        (warm_c > 0).sum(axis=1),
        cold_c.max(axis=1),
        warm_c.max(axis=1),
        comfort.low_c.max(axis=1),
        comfort.high_c.min(axis=1),
        _in_hand(horse, comfort),
    )
    return list(zip(*(column.tolist() for column in columns), strict=True))


def is_hardy(horse: Horse) -> bool:
    """Unclipped, well coated, in good flesh, without needs, not felt cold: such a horse stands some cold."""
    in_coat = horse.clip is Clip.NONE and horse.coat_depth_mm >= HARDY_COAT_MM
    return in_coat and horse.bcs >= HARDY_BCS and not horse.needs and horse.felt_cold is None


def _in_hand(horse: Horse, comfort: Comfort) -> NDArray[np.bool_]:
    thin_coat = horse.clip is not Clip.NONE or horse.coat_depth_mm <= IN_HAND_COAT_MM
    if not thin_coat and not horse.needs:
        return np.ones(len(comfort.low_c), dtype=bool)
    inside = (comfort.air_c >= comfort.low_c + IN_HAND_DEG) & (comfort.air_c <= comfort.high_c)
    return np.asarray(inside.all(axis=1))


def in_words(warmth: Warmth) -> Reason:
    """The one reason that says how warm an outfit is."""
    hours = len(warmth.air_c)
    cold = {"cold_hours": warmth.cold_hours, "hours": hours, "hay_kg": _at_least_a_tenth(warmth.hay_kg_per_day)}
    warm = {"warm_hours": warmth.warm_hours, "hours": hours}
    most_cold, most_warm = _at_least_a_tenth(warmth.most_cold), _at_least_a_tenth(warmth.most_warm)
    if not warmth.cold_hours and not warmth.warm_hours:
        return _right(warmth)
    if warmth.score > CAUTION_UP_TO and warmth.cold_share >= warmth.warm_share:
        return because(Code.TOO_COLD, by_deg=most_cold, **cold)
    if warmth.score > CAUTION_UP_TO:
        return because(Code.TOO_WARM, by_deg=most_warm, **warm)
    if warmth.cold_hours and warmth.warm_hours:
        return because(Code.COLD_AND_WARM, cold_deg=most_cold, warm_deg=most_warm, **{**cold, **warm})
    if warmth.cold_hours:
        return because(Code.COLD, by_deg=most_cold, **cold)
    return because(Code.WARM if warmth.outfit.layers else Code.WARM_BARE, by_deg=most_warm, **warm)


def _at_least_a_tenth(value: float) -> float:
    """What is printed to one decimal is never printed as nothing."""
    return max(0.1, value)


def _right(warmth: Warmth) -> Reason:
    coldest_c, warmest_c = float(warmth.air_c.min()), float(warmth.air_c.max())
    low_c, high_c = warmth.highest_low_c, warmth.lowest_high_c
    if warmest_c - coldest_c < STEADY_DEG:
        return because(Code.RIGHT_AT, low_c=low_c, high_c=high_c, air_c=coldest_c)
    if low_c <= coldest_c and warmest_c <= high_c:
        return because(Code.RIGHT, low_c=low_c, high_c=high_c, coldest_c=coldest_c, warmest_c=warmest_c)
    return because(Code.RIGHT_EACH_HOUR, hours=len(warmth.air_c), coldest_c=coldest_c, warmest_c=warmest_c)
