"""What hand checks teach about one horse: the offset of its comfort band, degC, with its spread.

A hand under the blanket at the shoulder reads cold, cool, right, warm or sweating. The felt position is the computed
one at offset 0 minus the offset plus one draw of N(0, 3 degC), the same for both ends of the band. All figures are A.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from barnrugs.matching.limits import NoAnswer
from barnrugs.matching.reasons import Code, because

Floats = npt.NDArray[np.float64]

PRIOR_SD_C = 2.0
FELT_SD_C = 3.0
FAR_C = 4.0
"""Cold is felt this far below the band, sweating this far above it."""

ANY_OF_FIVE = 0.1
"""Share of readings that may be any of the five."""

HALF_LIFE_DAYS = 60.0
AFTER_CLIP = 0.1
GRID_C: Floats = np.linspace(-10.0, 10.0, 201)


class Felt(StrEnum):
    """What the hand says, from cold to hot."""

    COLD = "cold"
    COOL = "cool"
    RIGHT = "right"
    WARM = "warm"
    SWEATING = "sweating"


@dataclass(frozen=True, slots=True)
class Reading:
    """One hand check. above_low_c, above_high_c: air minus the band's ends at offset 0, degC; days_ago: its age, >= 0.

    before_clip: the horse was clipped after it.
    """

    felt: Felt
    above_low_c: float
    above_high_c: float
    days_ago: float = 0.0
    before_clip: bool = False


@dataclass(frozen=True, slots=True)
class Learned:
    """offset_c: posterior mean, degC; spread_c: posterior standard deviation, degC; readings: how many it rests on."""

    offset_c: float
    spread_c: float
    readings: int


def learn(readings: Sequence[Reading]) -> Learned:
    """The offset after these readings. Raises NoAnswer for a reading whose band is upside down or not finite."""
    log_p = -0.5 * (GRID_C / PRIOR_SD_C) ** 2
    for number, reading in enumerate(readings):
        _check(reading, number)
        log_p = log_p + _weight(reading) * np.log(likelihood(reading, GRID_C))
    p = np.exp(log_p - log_p.max())
    p /= p.sum()
    mean = float(p @ GRID_C)
    return Learned(mean, float(np.sqrt(p @ (GRID_C - mean) ** 2)), len(readings))


def likelihood(reading: Reading, offset_c: Floats) -> Floats:
    """Chance of this reading for each offset, shaped like offset_c."""
    low = reading.above_low_c - offset_c
    high = reading.above_high_c - offset_c
    # Chance that the felt position lies below each border, from cold|cool to warm|sweating.
    below = [_normal(border) for border in (-FAR_C - low, -low, -high, FAR_C - high)]
    borders = [np.zeros_like(offset_c), *below, np.ones_like(offset_c)]
    chances = [upper - lower for lower, upper in pairwise(borders)]
    share = chances[list(Felt).index(reading.felt)]
    return (1 - ANY_OF_FIVE) * share + ANY_OF_FIVE / len(Felt)


def felt_at(above_low_c: float, above_high_c: float) -> Felt:
    """What a hand feels at a felt position, degC above the band's low and high end."""
    if above_low_c < -FAR_C:
        return Felt.COLD
    if above_low_c < 0:
        return Felt.COOL
    if above_high_c <= 0:
        return Felt.RIGHT
    return Felt.WARM if above_high_c <= FAR_C else Felt.SWEATING


def _weight(reading: Reading) -> float:
    """How much of a reading's log-likelihood counts."""
    age = float(0.5 ** (reading.days_ago / HALF_LIFE_DAYS))
    return age * AFTER_CLIP if reading.before_clip else age


def _normal(degrees_c: Floats) -> Floats:
    """Cumulative normal distribution with the spread of a felt position."""
    from scipy.special import ndtr

    return np.asarray(ndtr(degrees_c / FELT_SD_C), dtype=np.float64)


def _check(reading: Reading, number: int) -> None:
    figures = (reading.above_low_c, reading.above_high_c, reading.days_ago)
    if not all(np.isfinite(figures)) or reading.above_high_c > reading.above_low_c or reading.days_ago < 0:
        raise NoAnswer(f"readings[{number}]", because(Code.READING))
