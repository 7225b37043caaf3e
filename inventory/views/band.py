"""The comfort band drawn against the hours to come: geometry for one inline SVG, and the same in words."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils import timezone
from django.utils.translation import gettext as _

from barnrugs.matching import units
from barnrugs.matching.judge import JudgedOutfit
from barnrugs.matching.units import whole_degrees
from barnrugs.matching.words import Position

WIDTH, HEIGHT = 360, 200
LEFT, RIGHT, TOP, BOTTOM = 50, 18, 10, 26
MARKS_C = (1, 2, 5, 10, 20)


@dataclass(frozen=True)
class Mark:
    at: float
    text: str


@dataclass(frozen=True)
class Hourly:
    """One hour's stretch of the air's line and how it stands to the band."""

    x: float
    end: float
    y: float
    position: str


@dataclass(frozen=True)
class Drawing:
    width: int
    height: int
    left: int
    right: int
    bottom: int
    band: str
    air: str
    hours: tuple[Hourly, ...]
    degrees: tuple[Mark, ...]
    times: tuple[Mark, ...]
    label_x: float
    label_y: float
    words: str


def draw(judged: JudgedOutfit, times: list[datetime], zone: ZoneInfo, *, us: bool) -> Drawing:
    """Steps hour by hour; degrees in the barn's units, clipped to the drawing where the band runs out of it."""
    air = [float(value) for value in judged.air_c]
    low = [float(value) for value in judged.low_c]
    high = [float(value) for value in judged.high_c]
    bottom_c = min([*air, *low]) - 2
    top_c = min(max([*air, *high]) + 2, max(air) + 40)
    scale = (HEIGHT - TOP - BOTTOM) / (top_c - bottom_c)
    step = (WIDTH - LEFT - RIGHT) / len(air)

    def x(hour: int) -> float:
        return round(LEFT + hour * step, 1)

    def y(celsius: float) -> float:
        return round(TOP + (top_c - min(max(celsius, bottom_c), top_c)) * scale, 1)

    def steps(values: list[float]) -> list[str]:
        return [f"{x(hour + side)},{y(value)}" for hour, value in enumerate(values) for side in (0, 1)]

    return Drawing(
        width=WIDTH,
        height=HEIGHT,
        left=LEFT,
        right=WIDTH - RIGHT,
        bottom=HEIGHT - BOTTOM,
        band=" ".join(steps(high) + steps(low)[::-1]),
        air=" ".join(steps(air)),
        hours=tuple(
            Hourly(x(hour), x(hour + 1), y(air[hour]), position.value)
            for hour, (position, _by) in enumerate(judged.positions)
        ),
        degrees=tuple(Mark(y(value), whole_degrees(value, us=us)) for value in ticks(bottom_c, top_c, us=us)),
        times=tuple(
            Mark(x(hour), f"{timezone.localtime(times[hour], zone):%H:%M}")
            for hour in range(0, len(air), max(1, -(-len(air) // 4)))
        ),
        label_x=x(0) + 8,
        label_y=_clear_of_the_air(y(high[0]), y(low[0]), [y(value) for value in air[: max(1, len(air) // 3)]]),
        words=in_words(judged, us=us),
    )


def _clear_of_the_air(top: float, bottom: float, air: list[float]) -> float:
    """Where a word inside the band is least crossed by the line of the air."""
    return top + 18 if min(air) - top > bottom - max(air) else bottom - 8


def in_words(judged: JudgedOutfit, *, us: bool) -> str:
    """What the drawing shows."""
    counts = {kind: sum(1 for position, _by in judged.positions if position == kind) for kind in Position}
    low, high = judged.band_c
    text = _("Comfortable from %(low)s to %(high)s in all hours; air from %(coldest)s to %(warmest)s.") % {
        "low": whole_degrees(low, us=us),
        "high": whole_degrees(high, us=us),
        "coldest": whole_degrees(float(min(judged.air_c)), us=us),
        "warmest": whole_degrees(float(max(judged.air_c)), us=us),
    }
    if low > high:
        text = _("No one temperature is comfortable in all hours; air from %(coldest)s to %(warmest)s.") % {
            "coldest": whole_degrees(float(min(judged.air_c)), us=us),
            "warmest": whole_degrees(float(max(judged.air_c)), us=us),
        }
    return (
        text
        + " "
        + _("%(inside)d hours inside, %(cold)d cold, %(warm)d warm.")
        % {
            "inside": counts[Position.INSIDE],
            "cold": counts[Position.COLD],
            "warm": counts[Position.WARM],
        }
    )


def ticks(bottom_c: float, top_c: float, *, us: bool) -> list[float]:
    """Round degrees of the barn's units, as degC, five or so of them."""
    bottom, top = (units.temperature(end_c, us=us) for end_c in (bottom_c, top_c))
    every = next((mark for mark in MARKS_C if (top - bottom) / mark <= 6), MARKS_C[-1])
    first = int(-(-bottom // every))
    values = [every * number for number in range(first, int(top // every) + 1)]
    return [units.celsius(value, us=us) for value in values]
