"""The hard night of the Alaskan year, laid on the night at hand, so that the clock on the wall finds it."""

from dataclasses import replace
from datetime import datetime

from barnrugs.barns.models import Barn
from barnrugs.weather.domain.source import load_year
from barnrugs.weather.hours import Slot, WeatherYear, ordinary_slots
from barnrugs.weather.models import WeatherSource
from barnrugs.weather.overlay import SLEET_NIGHT, demo_year
from barnrugs.weather.queries import source_of
from inventory.domain import advice

NAME = "Alaskan coast, the night of 8 January laid on tonight"


def lay_night(barn: Barn, now: datetime) -> WeatherSource:
    """Loads the year moved so that the hard night begins with the coming night; one already laid on it stays."""
    start, end = advice.night(barn, now)
    laid = source_of(barn)
    if laid and laid.loaded_at and advice.night(barn, laid.loaded_at)[1] == end:
        return laid
    return load_year(barn, moved(demo_year(), start), name=NAME)


def moved(year: WeatherYear, start: datetime) -> WeatherYear:
    """The same hours in the same order, with 16:00 of the hard night at `start`."""
    slots = ordinary_slots()
    local = start.astimezone(year.site.zone)
    day = 28 if (local.month, local.day) == (2, 29) else local.day
    by = slots.index(Slot(local.month, day, local.hour)) - slots.index(SLEET_NIGHT.begins)
    hours = [replace(hour, slot=slots[(number + by) % len(slots)]) for number, hour in enumerate(year.hours)]
    hours.sort(key=lambda hour: hour.slot)
    begins = SLEET_NIGHT.begins
    note = {
        "code": "moved",
        "start": [begins.month, begins.day, begins.hour],
        "now": [local.month, local.day, local.hour],
    }
    return year.with_hours(hours, note=note)
