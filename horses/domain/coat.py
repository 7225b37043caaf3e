"""The coat of one horse over a winter: what the records and the season say, day by day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from barnrugs.barns.models import Barn
from barnrugs.matching import coat, limits
from barnrugs.matching.words import Clip
from horses.models import Coat, Horse

MEASURED_LASTS: Final = timedelta(days=45)
"""Over this time a measured depth gives way to the natural course of the coat, little by little (A)."""

STEP: Final = timedelta(days=7)


@dataclass(frozen=True)
class Day:
    """Depth of the unclipped coat and, where it is clipped, of the clipped part, mm."""

    on: date
    full_mm: float
    clip: Clip
    clipped_mm: float | None


@dataclass(frozen=True)
class Winter:
    days: tuple[Day, ...]
    today: Day
    clips: tuple[Coat, ...]

    @property
    def deepest(self) -> Day:
        return max(self.days, key=lambda day: day.full_mm)


def is_southern(barn: Barn) -> bool:
    return (barn.latitude or 0) < 0


def on_day(horse: Horse, coats: Sequence[Coat], day: date, *, southern: bool) -> Day:
    """coats: all of the horse's, the latest first."""
    known = [record for record in coats if record.on <= day]
    full = _full_mm(horse, known, day, southern=southern)
    clip = Clip(known[0].clip) if known else Clip.NONE
    if clip is Clip.NONE:
        return Day(day, full, clip, None)
    clipped = next((record for record in known if record.clipped_now), known[0])
    return Day(day, full, clip, coat.regrown_depth_mm(clipped.on, day, full, southern=southern))


def _full_mm(horse: Horse, known: Sequence[Coat], day: date, *, southern: bool) -> float:
    """By how much the measured coat was off the natural one tells less with every day."""

    def natural(on: date) -> float:
        return coat.natural_depth_mm(on, blanketed=horse.blanketed_since_autumn, southern=southern)

    measured = next((record for record in known if record.depth_mm), None)
    if measured is None or not measured.depth_mm:
        return natural(day)
    still = max(0.0, 1 - (day - measured.on) / MEASURED_LASTS)
    off = float(measured.depth_mm) / natural(measured.on) - 1
    low, high = limits.COAT_MM
    return min(high, max(low, natural(day) * (1 + off * still)))


def winter(horse: Horse, coats: Sequence[Coat], today: date, *, southern: bool = False) -> Winter:
    """The winter at hand, October to April (April to October in the south), week by week."""
    first, last = bounds(today, southern=southern)
    days = [first + STEP * week for week in range((last - first) // STEP + 1)]
    clips = tuple(record for record in reversed(coats) if record.clipped_now and first <= record.on <= last)
    return Winter(
        tuple(on_day(horse, coats, day, southern=southern) for day in days),
        on_day(horse, coats, today, southern=southern),
        clips,
    )


def bounds(today: date, *, southern: bool = False) -> tuple[date, date]:
    """First and last day of the winter that is on, or else of the next one."""
    if southern:
        year = today.year if today.month <= 10 else today.year + 1
        return date(year, 4, 1), date(year, 10, 28)
    year = today.year - 1 if today.month <= 4 else today.year
    return date(year, 10, 1), date(year + 1, 4, 30)
