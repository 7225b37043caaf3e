"""What every weather source answers: a typical year of hours, or one exception that names each fault by its line."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta, timezone
from functools import cached_property
from typing import Any

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from barnrugs.matching.words import PrecipKind

FAULTS_SHOWN = 10
LEAP_YEAR = 2000
"""The calendar that holds every day a typical year may have, 29 February too."""


@dataclass(frozen=True, slots=True)
class Fault:
    """line counts from 1; None concerns the whole file. wrong: in the language of who reads the file in."""

    line: int | None
    wrong: str

    def __str__(self) -> str:
        if self.line is None:
            return self.wrong
        return _("line %(line)d: %(wrong)s") % {"line": self.line, "wrong": self.wrong}


class WeatherFileFault(Exception):
    """A weather file cannot be used; faults says where and why."""

    def __init__(self, name: str, faults: Sequence[Fault]):
        self.name = name
        self.faults = tuple(faults)
        super().__init__(self._sentence())

    def _sentence(self) -> str:
        shown = "; ".join(str(fault) for fault in self.faults[:FAULTS_SHOWN])
        rest = len(self.faults) - FAULTS_SHOWN
        if rest > 0:
            return _("%(file)s: %(faults)s; and %(rest)d more.") % {"file": self.name, "faults": shown, "rest": rest}
        return f"{self.name}: {shown}."


@dataclass(frozen=True, slots=True, order=True)
class Slot:
    """One hour of a typical year by its beginning, hour 0 to 23, in the file's local standard time."""

    month: int
    day: int
    hour: int

    @classmethod
    def of(cls, local: datetime) -> "Slot":
        return cls(local.month, local.day, local.hour)

    def __str__(self) -> str:
        return f"{date_format(date(LEAP_YEAR, self.month, self.day), 'j F')} {self.hour:02d}:00"


def ordinary_slots() -> list[Slot]:
    """The 8,760 hours of a year without 29 February."""
    start = datetime(2001, 1, 1, tzinfo=UTC)
    return [Slot.of(start + timedelta(hours=hour)) for hour in range(8760)]


def leap_day_slots() -> list[Slot]:
    return [Slot(2, 29, hour) for hour in range(24)]


@dataclass(frozen=True, slots=True)
class YearHour:
    """The weather of one hour. None is unknown, never zero.

    air_c degC, wind_10m_ms m/s, rh and sky_cover 0 to 1, precip_mm in the hour, irradiance_wm2 global horizontal and
    the mean over the hour; clear_night 1 - sky cover while the sun is down, else 0. Air, wind, humidity and sky are
    observed at the hour's end.
    """

    slot: Slot
    air_c: float | None
    wind_10m_ms: float | None
    rh: float | None
    sky_cover: float | None
    irradiance_wm2: float | None
    precip_mm: float | None = None
    precip_kind: PrecipKind | None = None
    clear_night: float | None = None


@dataclass(frozen=True, slots=True)
class Site:
    """Position in degrees, north and east positive; utc_offset_h of local standard time."""

    name: str
    latitude: float
    longitude: float
    utc_offset_h: float
    altitude_m: float

    @property
    def zone(self) -> timezone:
        return timezone(timedelta(hours=self.utc_offset_h))


NOWHERE = Site("", 0, 0, 0, 0)


@dataclass(frozen=True)
class WeatherYear:
    """A typical year at a site: hours in calendar order.

    unknown_precip: (why, how many hours), most first. notes: what a reader must know, as notes.py says it.
    """

    kind: str
    site: Site
    hours: tuple[YearHour, ...]
    unknown_precip: tuple[tuple[str, int], ...] = ()
    notes: tuple[Mapping[str, Any], ...] = ()

    @cached_property
    def by_slot(self) -> dict[Slot, YearHour]:
        return {hour.slot: hour for hour in self.hours}

    def at(self, slot: Slot) -> YearHour | None:
        return self.by_slot.get(slot)

    def with_hours(self, hours: Iterable[YearHour], *, note: Mapping[str, Any] | None = None) -> "WeatherYear":
        return replace(self, hours=tuple(hours), notes=(*self.notes, note) if note else self.notes)


def year_time(slot: Slot, utc_offset_h: float) -> datetime:
    """The instant in UTC by which a typical year's hour is kept: its beginning in the calendar of LEAP_YEAR."""
    local = datetime(LEAP_YEAR, slot.month, slot.day, slot.hour, tzinfo=UTC)
    return local - timedelta(hours=utc_offset_h)
