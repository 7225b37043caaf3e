"""Consecutive hours of a typical year on the dates somebody asks about, as the matching takes them."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any, Protocol

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop as mark

from barnrugs.matching.weather import Hour
from barnrugs.matching.words import PrecipKind
from barnrugs.weather import notes
from barnrugs.weather.hours import Slot, WeatherYear

LONGEST = timedelta(days=400)


class WeatherGap(Exception):
    """No answer: hours without air temperature or wind. The sentence names them."""


class Values(Protocol):
    """What a WeatherHour of the database and a YearHour of a file have in common."""

    @property
    def air_c(self) -> float | None: ...
    @property
    def wind_10m_ms(self) -> float | None: ...
    @property
    def rh(self) -> float | None: ...
    @property
    def irradiance_wm2(self) -> float | None: ...
    @property
    def precip_mm(self) -> float | None: ...
    @property
    def clear_night(self) -> float | None: ...
    @property
    def precip_kind(self) -> str | None: ...


@dataclass(frozen=True, slots=True)
class Assumed:
    """What an unknown value is taken as: towards the cold and the wet, save humidity, which gets the usual 80 %."""

    name: str
    value: float
    words: str


RH = Assumed("rh", 0.8, mark("humidity is unknown, taken as 80 %"))
SUN = Assumed("irradiance_wm2", 0.0, mark("the sun is unknown, taken as none"))
SKY = Assumed("clear_night", 1.0, mark("the night sky is unknown, taken as clear"))
PRECIP = Assumed("precip_mm", math.nan, mark("precipitation is unknown, so rain is expected for what may go out"))
"""Its value stays None: the matching knows unknown precipitation."""
ASSUMED = (PRECIP, RH, SUN, SKY)


@dataclass(frozen=True)
class Spell:
    """unknown: (which value, in which hours), only those with any; note: what the source says of itself."""

    hours: tuple[Hour, ...]
    unknown: tuple[tuple[Assumed, tuple[datetime, ...]], ...]
    source: str
    note: str

    @property
    def counted(self) -> tuple[tuple[str, int], ...]:
        """Which values are unknown, and in how many hours."""
        return tuple((what.name, len(times)) for what, times in self.unknown)


def say_unknown(counted: Iterable[Sequence[Any]], hours: int) -> list[str]:
    """What `Spell.counted` found in so many hours, in the reader's language."""
    words = {what.name: what.words for what in ASSUMED}
    return [
        _("In %(some)d of %(hours)d hours %(what)s.") % {"some": some, "hours": hours, "what": _(words[name])}
        for name, some in counted
    ]


def hours_asked(
    start: datetime, end: datetime, utc_offset_h: float, like: date | None = None
) -> list[tuple[datetime, Slot]]:
    """(beginning in UTC, hour of the typical year) of each hour from that in which start falls to the last before end.

    like: take the weather of this calendar date for the day on which start falls in the file's local standard time.
    """
    if start.tzinfo is None or end.tzinfo is None or not start < end <= start + LONGEST:
        raise ValueError("start and end need a time zone, end after start and within 400 days")
    offset = timedelta(hours=utc_offset_h)
    local = (start.astimezone(UTC) + offset).replace(minute=0, second=0, microsecond=0)
    shift = like - local.date() if like else timedelta()
    count = -((local - offset - end) // timedelta(hours=1))
    begins = [local + timedelta(hours=step) for step in range(count)]
    return [(begin - offset, Slot.of(begin + shift)) for begin in begins]


def day_before_leap_day(slot: Slot) -> Slot:
    """A typical year has no 29 February: its weather is that of the 28th."""
    return Slot(2, 28, slot.hour) if (slot.month, slot.day) == (2, 29) else slot


def spell_of(year: WeatherYear, start: datetime, end: datetime, *, like: date | None = None) -> Spell:
    """Raises WeatherGap."""
    asked = hours_asked(start, end, year.site.utc_offset_h, like)
    return assemble(asked, year.at, source=year.site.name, note=notes.say(year.notes))


def assemble(
    asked: Sequence[tuple[datetime, Slot]], values_at: Callable[[Slot], Values | None], *, source: str, note: str
) -> Spell:
    found = [(time, values_at(slot) or values_at(day_before_leap_day(slot))) for time, slot in asked]
    hours = [_hour(time, values) for time, values in found]
    if None in hours:
        lacking = [slot for (_, slot), hour in zip(asked, hours, strict=True) if hour is None]
        raise WeatherGap(_gap_sentence(source, lacking))
    return Spell(tuple(hour for hour in hours if hour), _unknown(found), source, note)


def _gap_sentence(source: str, slots: Sequence[Slot]) -> str:
    named = ", ".join(str(slot) for slot in slots[:3])
    said = {"source": source, "hours": named, "more": len(slots) - 3}
    if len(slots) > 3:
        return _("%(source)s has no air temperature or wind at %(hours)s and %(more)d more.") % said
    return _("%(source)s has no air temperature or wind at %(hours)s.") % said


def _unknown(
    rows: Sequence[tuple[datetime, Values | None]],
) -> tuple[tuple[Assumed, tuple[datetime, ...]], ...]:
    gaps = [(what, tuple(time for time, values in rows if getattr(values, what.name) is None)) for what in ASSUMED]
    return tuple((what, times) for what, times in gaps if times)


def _hour(time: datetime, values: Values | None) -> Hour | None:
    """None without air or wind."""
    if values is None or values.air_c is None or values.wind_10m_ms is None:
        return None
    return Hour(
        time=time,
        air_c=values.air_c,
        wind_10m_ms=values.wind_10m_ms,
        rh=_or(values.rh, RH),
        precip_mm=values.precip_mm,
        precip_kind=PrecipKind(values.precip_kind) if values.precip_kind else None,
        irradiance_wm2=_or(values.irradiance_wm2, SUN),
        clear_night=_or(values.clear_night, SKY),
    )


def _or(value: float | None, unknown: Assumed) -> float:
    return unknown.value if value is None else value
