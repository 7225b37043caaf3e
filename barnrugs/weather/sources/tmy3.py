"""TMY3: a typical year as CSV (Wilcox & Marion 2008, Users Manual for TMY3 Data Sets, doi:10.2172/928611).

A row's stamp is the end of its hour in local standard time, midnight 24:00 (or 00:00 of the day after): irradiance is
that of the hour, the rest is observed at the stamp. Wind stands at 10 m, the weather service's height.
"""

import re
from datetime import UTC, datetime, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.weather.hours import LEAP_YEAR, NOWHERE, Site, Slot, WeatherYear, YearHour
from barnrugs.weather.precip import Reading
from barnrugs.weather.text import Faults, PathOrFile, Quantity, Text, cells_of, open_text, within
from barnrugs.weather.year import Layout, read_year

KIND = "tmy3"
NAME = "TMY3"

MISSING = (-9900.0, -9999.0)
DATE, TIME = "Date (MM/DD/YYYY)", "Time (HH:MM)"
AIR = Quantity("Dry-bulb (C)", "degC", -70, 60, MISSING)
WIND = Quantity("Wspd (m/s)", "m/s", 0, 75, MISSING)
HUMIDITY = Quantity("RHum (%)", "%", 0, 100, MISSING)
SKY = Quantity("TotCld (tenths)", gettext_lazy("tenths"), 0, 10, MISSING)
SUN = Quantity("GHI (W/m^2)", "W/m2", 0, 1400, MISSING)
NEEDED = (DATE, TIME, *(str(quantity.name) for quantity in (AIR, WIND, HUMIDITY, SKY, SUN)))

DEPTH = Quantity("Lprecip depth (mm)", "mm", 0, 10_000, MISSING)
PERIOD = Quantity("Lprecip quantity (hr)", "h", 0, 99, MISSING)
QUALITY = Quantity("Lprecip uncert (code)", "", 0, 9, MISSING)


def recognises(text: Text) -> bool:
    return DATE in text.line(1) + text.line(2) or bool(re.match(r"\d{5,6},", text.line(1)))


def read(path_or_file: PathOrFile | Text) -> WeatherYear:
    """Raises WeatherFileFault with the lines and what is wrong."""
    text = open_text(path_or_file)
    faults = Faults(text.name)
    site, columns = _site(text, faults), _columns(text, faults)
    faults.raise_if_any()
    width = len(text.line(2).split(","))
    return read_year(text, site, Layout(KIND, 3, width, lambda cells: _row(cells, columns)), faults)


def _site(text: Text, faults: Faults) -> Site:
    try:
        cells = cells_of(text.line(1), 7, _("from the station to the altitude"))
        return Site(
            name=f"{cells[1].strip().title()}, {cells[2].strip()}",
            utc_offset_h=within(cells[3], _("time zone"), -12, 14),
            latitude=within(cells[4], _("latitude"), -90, 90),
            longitude=within(cells[5], _("longitude"), -180, 180),
            altitude_m=within(cells[6], _("altitude"), -500, 9000),
        )
    except ValueError as error:
        faults.add(1, str(error))
        return NOWHERE


def _columns(text: Text, faults: Faults) -> dict[str, int]:
    columns = {name.strip(): place for place, name in enumerate(text.line(2).split(","))}
    lacking = [name for name in NEEDED if name not in columns]
    if lacking:
        faults.add(2, _("the head lacks %(columns)s") % {"columns": ", ".join(lacking)})
    return columns


def _row(cells: list[str], columns: dict[str, int]) -> tuple[YearHour, Reading]:
    def value(quantity: Quantity) -> float | None:
        place = columns.get(str(quantity.name))
        return None if place is None else quantity.read(cells[place])

    rh, sky, quality = value(HUMIDITY), value(SKY), value(QUALITY)
    hour = YearHour(
        slot=_slot(cells[columns[DATE]], cells[columns[TIME]]),
        air_c=value(AIR),
        wind_10m_ms=value(WIND),
        rh=None if rh is None else rh / 100,
        sky_cover=None if sky is None else sky / 10,
        irradiance_wm2=value(SUN),
    )
    return hour, Reading(value(DEPTH), value(PERIOD), 0 if quality is None else int(quality))


def _slot(day: str, clock: str) -> Slot:
    """The hour that ends at the stamp, in one common calendar: the years of a typical year mean nothing."""
    try:
        month, day_of_month, _year = (int(part) for part in day.split("/"))
        hour = _whole_hour(clock)
        year = LEAP_YEAR if (month, day_of_month) == (2, 29) else LEAP_YEAR + 1
        return Slot.of(datetime(year, month, day_of_month, tzinfo=UTC) + timedelta(hours=hour - 1))
    except ValueError:
        stamp = {"stamp": f"{day[:12]} {clock[:8]}"}
        sentence = _("“%(stamp)s” is not the end of an hour, MM/DD/YYYY and 01:00 to 24:00") % stamp
        raise ValueError(sentence) from None


def _whole_hour(clock: str) -> int:
    hour, minute = (int(part) for part in clock.split(":"))
    if minute or not 0 <= hour <= 24:
        raise ValueError(clock)
    return hour
