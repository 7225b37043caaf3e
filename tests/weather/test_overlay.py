"""The demo's nights: real but for the precipitation, which says that it is invented."""

from datetime import datetime, timedelta
from statistics import mean

import pytest

from barnrugs.matching.words import PrecipKind
from barnrugs.weather import notes, shipped
from barnrugs.weather.hours import Slot
from barnrugs.weather.overlay import COLD_NIGHT, SLEET_NIGHT, Overlay, demo_night, demo_year, lay, night_start
from barnrugs.weather.spell import spell_of

ALASKA = shipped.year_of(shipped.ALASKA)
WINTER = (11, 12, 1, 2)


@pytest.mark.parametrize("overlay", [SLEET_NIGHT, COLD_NIGHT])
def test_only_the_precipitation_of_the_night_is_invented(overlay: Overlay) -> None:
    laid = lay(ALASKA, overlay)
    changed = [hour for hour, real in zip(laid.hours, ALASKA.hours, strict=True) if hour != real]
    assert {hour.slot for hour in changed} <= {
        Slot.of(night_start(overlay, 2001) + timedelta(hours=step)) for step in range(24)
    }
    for hour, real in zip(laid.hours, ALASKA.hours, strict=True):
        assert (hour.air_c, hour.wind_10m_ms, hour.rh) == (real.air_c, real.wind_10m_ms, real.rh)
        assert (hour.irradiance_wm2, hour.clear_night) == (real.irradiance_wm2, real.clear_night)
    said = notes.say(laid.notes)
    assert "Invented" in said
    assert said.endswith("for 24 hours the precipitation is invented.")
    assert said.startswith(notes.say(ALASKA.notes))


def test_the_sleet_night_rains_above_freezing_and_snows_below() -> None:
    night = demo_night()
    assert len(night) == 18
    assert night[0].time == datetime.fromisoformat("2026-01-08T16:00-09:00")
    rain = [hour for hour in night if hour.precip_kind is PrecipKind.RAIN]
    snow = [hour for hour in night if hour.precip_kind is PrecipKind.SNOW]
    assert sum(hour.precip_mm or 0 for hour in rain) == pytest.approx(6.0)
    assert sum(hour.precip_mm or 0 for hour in snow) == pytest.approx(3.3)
    assert [hour.air_c for hour in rain] == [0.7, 0.8, 0.0, -1.8]
    assert max(hour.air_c for hour in snow) < 0
    assert max(hour.wind_10m_ms for hour in night) == 10.2
    assert all(hour.precip_mm is not None for hour in demo_night(hours=24))


def chill(air_c: float, wind_10m_ms: float) -> float:
    """Wind chill (NWS, Environment Canada 2001): here only to rank nights, as it holds for a bare face."""
    kmh = wind_10m_ms * 3.6
    if air_c > 10 or kmh <= 4.8:
        return air_c
    return 13.12 + 0.6215 * air_c - 11.37 * kmh**0.16 + 0.3965 * air_c * kmh**0.16


def test_the_cold_night_is_the_hardest_of_november_to_february_by_wind_chill() -> None:
    def night_chill(month: int, day: int) -> float:
        start = datetime(2001, month, day, 16, tzinfo=ALASKA.site.zone)
        return mean(chill(h.air_c, h.wind_10m_ms) for h in spell_of(ALASKA, start, start + timedelta(hours=18)).hours)

    days = sorted({(hour.slot.month, hour.slot.day) for hour in ALASKA.hours if hour.slot.month in WINTER})
    hardest = sorted(days, key=lambda day: night_chill(*day))
    assert hardest[0] == (2, 18)
    assert night_chill(2, 18) == pytest.approx(-19.0, abs=0.1)
    night = demo_night(COLD_NIGHT)
    assert mean(hour.air_c for hour in night) == pytest.approx(-9.0, abs=0.05)
    assert mean(hour.wind_10m_ms for hour in night) == pytest.approx(10.2, abs=0.05)
    assert {hour.precip_mm for hour in night} == {0.0}


def test_the_demo_year_has_both_nights_and_elsewhere_what_the_file_has() -> None:
    year = demo_year()
    assert SLEET_NIGHT.note in year.notes
    assert COLD_NIGHT.note in year.notes
    assert year.by_slot[Slot(1, 8, 17)].precip_mm == 2.2
    assert year.by_slot[Slot(2, 18, 17)].precip_mm == 0
    assert year.by_slot[Slot(1, 8, 15)].precip_mm is None
