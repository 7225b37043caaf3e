"""Invented precipitation laid over two real nights of a typical year, and saying so by name and note.

The Alaskan year that pvlib ships has temperature, wind, humidity and sky, and hardly any precipitation. The demo needs
an evening on which waterproof, wet and warm all matter, so its rain is ours.
"""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

from barnrugs.matching.weather import Hour
from barnrugs.matching.words import PrecipKind
from barnrugs.weather import shipped
from barnrugs.weather.hours import Slot, WeatherYear
from barnrugs.weather.spell import spell_of

RAIN, SNOW = PrecipKind.RAIN, PrecipKind.SNOW


@dataclass(frozen=True)
class Overlay:
    """Precipitation of consecutive hours from 16:00 on a date: mm and kind, None where dry.

    name: its key in notes.py.
    """

    name: str
    month: int
    day: int
    falls: tuple[tuple[float, PrecipKind | None], ...]

    @property
    def begins(self) -> Slot:
        return Slot(self.month, self.day, 16)

    @property
    def note(self) -> dict[str, Any]:
        start = [self.month, self.day, self.begins.hour]
        return {"code": "invented", "overlay": self.name, "start": start, "hours": len(self.falls)}


SLEET_NIGHT = Overlay(
    name="sleet_night",
    month=1,
    day=8,
    falls=(
        *((1.4, RAIN), (2.2, RAIN), (1.6, RAIN), (0.8, RAIN)),
        *((0.6, SNOW), (0.9, SNOW), (1.0, SNOW), (0.5, SNOW)),
        *((0.0, None),) * 3,
        (0.3, SNOW),
        *((0.0, None),) * 12,
    ),
)
"""Rain from 16:00 just above freezing, freezing on the ground from 19:00, then snow on a wind that rises to 10 m/s."""

COLD_NIGHT = Overlay(name="cold_night", month=2, day=18, falls=((0.0, None),) * 24)
"""The hardest night of November to February by wind chill: -9 degC, 10 m/s, mostly clear. Dry is invented."""


def lay(year: WeatherYear, overlay: Overlay) -> WeatherYear:
    """The year with the overlay's hours replaced, and a note that says so."""
    start = datetime(2001, overlay.month, overlay.day, overlay.begins.hour)  # noqa: DTZ001
    falls = {Slot.of(start + timedelta(hours=step)): fall for step, fall in enumerate(overlay.falls)}
    hours = [
        replace(hour, precip_mm=falls[hour.slot][0], precip_kind=falls[hour.slot][1]) if hour.slot in falls else hour
        for hour in year.hours
    ]
    return year.with_hours(hours, note=overlay.note)


def demo_year() -> WeatherYear:
    """The Alaskan year with both invented nights."""
    return lay(lay(shipped.year_of(shipped.ALASKA), SLEET_NIGHT), COLD_NIGHT)


def demo_night(overlay: Overlay = SLEET_NIGHT, *, year: int = 2026, hours: int = 18) -> tuple[Hour, ...]:
    """16:00 to 10:00, or up to 24 hours, Alaskan standard time: real air, wind and sky, invented precipitation."""
    weather = demo_year()
    start = night_start(overlay, year)
    return spell_of(weather, start, start + timedelta(hours=hours)).hours


def night_start(overlay: Overlay, year: int) -> datetime:
    zone = shipped.year_of(shipped.ALASKA).site.zone
    return datetime.combine(date(year, overlay.month, overlay.day), datetime.min.time(), zone) + timedelta(hours=16)
