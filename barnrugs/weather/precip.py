"""Which precipitation of a typical year may be believed. The rest is unknown, never zero: rain is then expected.

Typical years were made for sun and heat; their precipitation is often missing, summed over several hours, or in other
units than declared. So a depth counts only if it is given for one hour, its quality code says measured by the weather
service's practice, it is at most HOUR_LIMIT_MM, and the year's wet hours together are believable.
"""

from collections.abc import Sequence
from dataclasses import dataclass

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

MISSING = "missing in the file"
NOT_HOURLY = "not given for one hour"
BAD_QUALITY = "marked uncertain by the file's own code"
TOO_MUCH = f"above {HOUR_LIMIT_MM:.0f} mm in an hour"
BAD_YEAR = f"in a year whose wet hours bring more than {WET_MEAN_LIMIT_MM:.0f} mm on average"


@dataclass(frozen=True, slots=True)
class Reading:
    """As written: depth in mm over period_h hours; quality 0 to 9, or None where the source has no such code."""

    depth_mm: float | None
    period_h: float | None
    quality: int | None = MEASURED


NOTHING_READ = Reading(None, None)


def judge(readings: Sequence[Reading]) -> tuple[list[float | None], list[str]]:
    """The depth of each hour, None unknown; and for each unknown hour why."""
    faults = [_fault(reading) for reading in readings]
    depths = [None if fault else reading.depth_mm for reading, fault in zip(readings, faults, strict=True)]
    wet = [depth for depth in depths if depth]
    if len(wet) >= WET_HOURS_NEEDED and sum(wet) / len(wet) > WET_MEAN_LIMIT_MM:
        return [None] * len(readings), [fault or BAD_YEAR for fault in faults]
    return depths, [fault for fault in faults if fault]


def _fault(reading: Reading) -> str | None:
    if reading.depth_mm is None:
        return MISSING
    if reading.period_h != 1:
        return NOT_HOURLY
    if reading.quality not in (None, MEASURED):
        return BAD_QUALITY
    return TOO_MUCH if reading.depth_mm > HOUR_LIMIT_MM else None


def note(unknown: Sequence[tuple[str, int]], hours: int) -> str:
    if not unknown:
        return ""
    total = sum(count for _, count in unknown)
    why = ", ".join(f"{count:,} {reason}" for reason, count in unknown)
    return f"Precipitation in the file is unknown in {total:,} of {hours:,} hours: {why}."
