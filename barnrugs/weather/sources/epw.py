"""EPW: a typical year as CSV under eight lines of head (EnergyPlus, Auxiliary Programs, "EPW CSV Format").

Hour 1 is that from 00:00 to 01:00 local standard time: irradiance is that of the hour, the rest is observed at its end.
Wind stands at 10 m.
"""

from datetime import UTC, datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.weather.hours import LEAP_YEAR, NOWHERE, Site, Slot, WeatherYear, YearHour
from barnrugs.weather.precip import NOTHING_READ, Reading
from barnrugs.weather.text import Faults, PathOrFile, Quantity, Text, cells_of, open_text, within
from barnrugs.weather.year import Layout, read_year

KIND = "epw"
NAME = "EPW"

HEAD = (
    "LOCATION",
    "DESIGN CONDITIONS",
    "TYPICAL/EXTREME PERIODS",
    "GROUND TEMPERATURES",
    "HOLIDAYS/DAYLIGHT SAVINGS",
    "COMMENTS 1",
    "COMMENTS 2",
    "DATA PERIODS",
)
WIDTHS = (33, 35)
"""Without and with the two columns of liquid precipitation."""

AIR = Quantity(gettext_lazy("dry bulb temperature"), "degC", -70, 70, (99.9,))
HUMIDITY = Quantity(gettext_lazy("relative humidity"), "%", 0, 110, (999.0,))
SUN = Quantity(gettext_lazy("global horizontal radiation"), "Wh/m2", 0, 1400, (9999.0, 99999.0))
WIND = Quantity(gettext_lazy("wind speed"), "m/s", 0, 75, (999.0,))
SKY = Quantity(gettext_lazy("total sky cover"), gettext_lazy("tenths"), 0, 10, (99.0,))
DEPTH = Quantity(gettext_lazy("liquid precipitation depth"), "mm", 0, 998.9, (999.0, 9999.0))
PERIOD = Quantity(gettext_lazy("liquid precipitation quantity"), "h", 0, 98, (99.0, 999.0))


def recognises(text: Text) -> bool:
    return text.line(1).upper().startswith("LOCATION")


def read(path_or_file: PathOrFile | Text) -> WeatherYear:
    """Raises WeatherFileFault with the lines and what is wrong."""
    text = open_text(path_or_file)
    faults = Faults(text.name)
    site = _site(text, faults)
    _check_head(text, faults)
    faults.raise_if_any()
    return read_year(text, site, Layout(KIND, len(HEAD) + 1, _width(text), _row), faults)


def _width(text: Text) -> int:
    """That of the first row, if it is one of the two there are."""
    width = len(text.line(len(HEAD) + 1).split(","))
    return width if width in WIDTHS else max(WIDTHS)


def _site(text: Text, faults: Faults) -> Site:
    try:
        cells = cells_of(text.line(1), 10, _("from LOCATION to the altitude"))
        return Site(
            name=", ".join(cell.strip() for cell in cells[1:4] if cell.strip(" -")),
            latitude=within(cells[6], _("latitude"), -90, 90),
            longitude=within(cells[7], _("longitude"), -180, 180),
            utc_offset_h=within(cells[8], _("time zone"), -12, 14),
            altitude_m=within(cells[9], _("altitude"), -500, 9000),
        )
    except ValueError as error:
        faults.add(1, str(error))
        return NOWHERE


def _check_head(text: Text, faults: Faults) -> None:
    for line, word in enumerate(HEAD, 1):
        if not text.line(line).upper().startswith(word):
            faults.add(line, _("should begin with %(word)s") % {"word": word})
    periods = text.line(len(HEAD)).split(",")
    if len(periods) > 2 and periods[2].strip() != "1":
        wrong = _("%(records)s records an hour; one is needed") % {"records": periods[2].strip()[:8]}
        faults.add(len(HEAD), wrong)


def _row(cells: list[str]) -> tuple[YearHour, Reading]:
    rh, sky = HUMIDITY.read(cells[8]), SKY.read(cells[22])
    hour = YearHour(
        slot=_slot(cells[1], cells[2], cells[3]),
        air_c=AIR.read(cells[6]),
        wind_10m_ms=WIND.read(cells[21]),
        rh=None if rh is None else min(rh, 100) / 100,
        sky_cover=None if sky is None else sky / 10,
        irradiance_wm2=SUN.read(cells[13]),
    )
    return hour, Reading(DEPTH.read(cells[33]), PERIOD.read(cells[34]), None) if len(cells) > 33 else NOTHING_READ


def _slot(month: str, day: str, hour: str) -> Slot:
    try:
        return Slot.of(datetime(LEAP_YEAR, int(month), int(day), int(hour) - 1, tzinfo=UTC))
    except ValueError:
        figures = {"month": month[:4], "day": day[:4], "hour": hour[:4]}
        sentence = _("month %(month)s, day %(day)s, hour %(hour)s is no hour of a year, 1 to 24") % figures
        raise ValueError(sentence) from None
