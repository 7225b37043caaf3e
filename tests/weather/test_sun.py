"""Sun up or down, against the solar radiation at the top of the atmosphere that the files themselves carry."""

import numpy as np
import pandas as pd
import pytest
from pvlib.solarposition import ephemeris

from barnrugs.weather import shipped, sun
from barnrugs.weather.hours import Site, Slot, ordinary_slots
from tests.weather import files

BOTH = [shipped.ALASKA, shipped.CAROLINA]


def down(name: str) -> np.ndarray:
    year = shipped.year_of(name)
    return sun.sun_down([hour.slot for hour in year.hours], year.site)


@pytest.mark.parametrize("name", BOTH)
def test_where_the_file_has_no_sun_at_the_top_of_the_atmosphere_it_is_down(name: str) -> None:
    """ETR, column 3 of the TMY3 manual, sums over the hour: 0 is a whole hour of night; ETRN above 1300 of at most
    1415 Wh/m2 is a whole hour of day."""
    data, _ = files.table(name)
    no_sun = (data["ghi_extra"] == 0).to_numpy()
    whole_hour_of_sun = (data["dni_extra"] > 1300).to_numpy()
    found = down(name)
    assert found[no_sun].all()
    assert not found[whole_hour_of_sun].any()
    assert (no_sun | whole_hour_of_sun).mean() > 0.88


@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")
@pytest.mark.parametrize("name", BOTH)
def test_the_sun_stands_where_another_algorithm_has_it(name: str) -> None:
    """pvlib's ephemeris is not the Solar Position Algorithm; apart from half a degree of twilight both must agree."""
    site = shipped.year_of(name).site
    times = pd.date_range("2001-01-01 00:30", periods=8760, freq="h", tz=site.zone)
    elevation = ephemeris(times, site.latitude, site.longitude)["elevation"].to_numpy()
    clear = abs(elevation - sun.SUNSET_ELEVATION_DEG) > 0.5
    assert clear.mean() > 0.97
    np.testing.assert_array_equal(down(name)[clear], (elevation < sun.SUNSET_ELEVATION_DEG)[clear])


def test_midnight_sun_and_polar_night() -> None:
    """Tromsø, 69.65 N: midnight sun 20 May to 22 July, polar night 27 November to 15 January (from memory)."""
    tromso = Site("Tromsø", 69.65, 18.96, 1, 10)
    slots = ordinary_slots()
    found = dict(zip(slots, sun.sun_down(slots, tromso), strict=True))
    assert not any(found[Slot(6, 21, hour)] for hour in range(24))
    assert all(found[Slot(12, 21, hour)] for hour in range(24))


def test_half_the_year_is_night_at_the_equator() -> None:
    slots = ordinary_slots()
    assert sun.sun_down(slots, Site("equator", 0, 0, 0, 0)).mean() == pytest.approx(0.5, abs=0.02)


def test_clear_night_is_what_clouds_leave_and_nothing_by_day() -> None:
    site = shipped.year_of(shipped.CAROLINA).site
    slots = [Slot(1, 10, 2), Slot(1, 10, 2), Slot(1, 10, 2), Slot(1, 10, 12), Slot(1, 10, 12)]
    assert sun.clear_night(slots, [0.0, 0.3, None, 0.0, None], site) == [1.0, 0.7, None, 0.0, 0.0]


@pytest.mark.parametrize("name", BOTH)
def test_no_hour_has_both_sunshine_and_a_clear_night(name: str) -> None:
    both = [hour for hour in shipped.year_of(name).hours if hour.irradiance_wm2 and hour.clear_night]
    assert max((hour.irradiance_wm2 for hour in both), default=0) < 25, "only the hours of sunrise and sunset"
