"""The coat over a winter, drawn: points for an SVG, and the same in words."""

from dataclasses import dataclass
from datetime import date
from typing import Final

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from horses.domain.coat import Day, Winter

WIDTH: Final = 640
HEIGHT: Final = 240
LEFT: Final = 44
TOP: Final = 14
BOTTOM: Final = 206
RIGHT: Final = 628
STEP_MM: Final = 10


@dataclass(frozen=True)
class Mark:
    at: float
    label: str


@dataclass(frozen=True)
class Drawing:
    """Points of the unclipped coat and of each stretch of the clipped part; where today stands; axes; and the text."""

    full: str
    clipped: tuple[str, ...]
    today: float | None
    months: tuple[Mark, ...]
    depths: tuple[Mark, ...]
    clips: tuple[Mark, ...]
    text: str


def draw(winter: Winter) -> Drawing:
    days = winter.days
    first, last = days[0].on, days[-1].on
    top_mm = STEP_MM * (int(max(day.full_mm for day in days)) // STEP_MM + 1)

    def x(day: date) -> float:
        return round(LEFT + (RIGHT - LEFT) * (day - first).days / (last - first).days, 1)

    def y(mm: float) -> float:
        return round(BOTTOM - (BOTTOM - TOP) * mm / top_mm, 1)

    stretches = [
        " ".join(f"{x(day.on)},{y(day.clipped_mm)}" for day in stretch if day.clipped_mm is not None)
        for stretch in _stretches(days)
    ]
    return Drawing(
        full=" ".join(f"{x(day.on)},{y(day.full_mm)}" for day in days),
        clipped=tuple(stretches),
        today=x(winter.today.on) if first <= winter.today.on <= last else None,
        months=tuple(Mark(x(day), date_format(day, "M")) for day in _firsts(first, last)),
        depths=tuple(Mark(y(mm), str(mm)) for mm in range(0, top_mm + 1, STEP_MM)),
        clips=tuple(Mark(x(record.on), record.get_clip_display()) for record in winter.clips),
        text=in_words(winter),
    )


def in_words(winter: Winter) -> str:
    today, deepest = winter.today, winter.deepest
    said = [_("Today the coat stands about %(mm)d mm deep.") % {"mm": round(today.full_mm)}]
    if today.clipped_mm is not None:
        said.append(_("Where it is clipped it is at about %(mm)d mm.") % {"mm": round(today.clipped_mm)})
    said.append(
        _("At its longest this winter, about %(day)s, it stands %(mm)d mm.")
        % {"day": date_format(deepest.on, "j F"), "mm": round(deepest.full_mm)}
    )
    return " ".join(said)


def _stretches(days: tuple[Day, ...]) -> list[list[Day]]:
    """Days on which it is clipped, cut where a new clip begins so that no line climbs down."""
    found: list[list[Day]] = []
    before: float | None = None
    for day in days:
        if day.clipped_mm is None:
            before = None
            continue
        if before is None or day.clipped_mm < before:
            found.append([])
        found[-1].append(day)
        before = day.clipped_mm
    return found


def _firsts(first: date, last: date) -> list[date]:
    months = [(first.year + (first.month - 1 + n) // 12, (first.month - 1 + n) % 12 + 1) for n in range(12)]
    return [day for year, month in months if first <= (day := date(year, month, 1)) <= last]
