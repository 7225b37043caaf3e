"""Which precipitation of a typical year may be believed. The rest is unknown, never zero: rain is then expected.

Typical years were made for sun and heat; their precipitation is often missing, summed over several hours, or in other
units than declared. So a depth counts only if it is given for one hour, its quality code says measured by the weather
service's practice, it is at most HOUR_LIMIT_MM, and the year's wet hours together are believable.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

HOUR_LIMIT_MM = 50.0
"""Above 50 mm in an hour is a violent shower (forecasters' usage, from memory). More has fallen, 305 mm at the most
(Holt, Missouri, 1947, from memory), but in a file such a figure is a fault far more often than rain, and unknown is the
careful answer."""

WET_MEAN_LIMIT_MM = 6.0
"""An hour with rain brings 1 to 2 mm on average, 3 to 4 in the tropics (assumption): a year whose wet hours bring more
than 6 on average is not in mm."""
WET_HOURS_NEEDED = 20

MEASURED = 7
"""Uncertainty code of the TMY3 manual (NREL/TP-581-43156, table 1-6): 7 consistent with the weather service's practice,
8 interpolated or estimated, 9 greater than 8 or unknown, 0 not definable."""


class Why(StrEnum):
    """Why the precipitation of an hour is unknown; said in notes.py."""

    MISSING = "missing"
    NOT_HOURLY = "not_hourly"
    BAD_QUALITY = "bad_quality"
    TOO_MUCH = "too_much"
    BAD_YEAR = "bad_year"


@dataclass(frozen=True, slots=True)
class Reading:
    """As written: depth in mm over period_h hours; quality 0 to 9, or None where the source has no such code."""

    depth_mm: float | None
    period_h: float | None
    quality: int | None = MEASURED


NOTHING_READ = Reading(None, None)


def judge(readings: Sequence[Reading]) -> tuple[list[float | None], list[Why]]:
    """The depth of each hour, None unknown; and for each unknown hour why."""
    faults = [_fault(reading) for reading in readings]
    depths = [None if fault else reading.depth_mm for reading, fault in zip(readings, faults, strict=True)]
    wet = [depth for depth in depths if depth]
    if len(wet) >= WET_HOURS_NEEDED and sum(wet) / len(wet) > WET_MEAN_LIMIT_MM:
        return [None] * len(readings), [fault or Why.BAD_YEAR for fault in faults]
    return depths, [fault for fault in faults if fault]


def _fault(reading: Reading) -> Why | None:
    if reading.depth_mm is None:
        return Why.MISSING
    if reading.period_h != 1:
        return Why.NOT_HOURLY
    if reading.quality not in (None, MEASURED):
        return Why.BAD_QUALITY
    return Why.TOO_MUCH if reading.depth_mm > HOUR_LIMIT_MM else None
