"""A typical year on the dates somebody asks about."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from barnrugs.matching.words import PrecipKind
from barnrugs.weather import notes, shipped, sources
from barnrugs.weather.hours import Site, Slot, WeatherYear, YearHour, leap_day_slots, ordinary_slots, year_time
from barnrugs.weather.spell import PRECIP, RH, SKY, SUN, WeatherGap, hours_asked, say_unknown, spell_of
from tests.weather import files

ALASKA = shipped.year_of(shipped.ALASKA)
STANDARD = timezone(timedelta(hours=-9))
HOUR = timedelta(hours=1)
NOTE = {"code": "moved", "start": [1, 8, 16], "now": [1, 1, 0]}


def numbered(slots: list[Slot], utc_offset_h: float = 0) -> WeatherYear:
    """A year whose air temperature counts the hours, so that an hour can be told by it."""
    hours = [
        YearHour(
            slot, air_c=float(count), wind_10m_ms=1, rh=0.5, sky_cover=1, irradiance_wm2=0, precip_mm=0, clear_night=0
        )
        for count, slot in enumerate(slots)
    ]
    return WeatherYear("tmy3", Site("here", 0, 0, utc_offset_h, 0), tuple(hours))


def airs(year: WeatherYear, start: datetime, hours: int, like: date | None = None) -> list[float]:
    return [hour.air_c for hour in spell_of(year, start, start + hours * HOUR, like=like).hours]


def test_an_alaskan_evening_has_the_figures_printed_in_the_file() -> None:
    """The row stamped 01/08, 17:00 in local standard time is the hour from 16:00."""
    row = next(
        row.split(",") for row in files.lines(shipped.ALASKA) if row.startswith("01/08/") and ",17:00," in row[:17]
    )
    head = files.lines(shipped.ALASKA)[1].split(",")
    start = datetime(2026, 1, 8, 16, tzinfo=STANDARD)
    hour = spell_of(ALASKA, start, start + HOUR).hours[0]
    assert hour.time == datetime(2026, 1, 9, 1, tzinfo=UTC)
    assert hour.air_c == float(row[head.index("Dry-bulb (C)")])
    assert hour.wind_10m_ms == float(row[head.index("Wspd (m/s)")])
    assert hour.rh == float(row[head.index("RHum (%)")]) / 100
    assert hour.irradiance_wm2 == float(row[head.index("GHI (W/m^2)")])
    assert hour.precip_mm is None


def test_any_calendar_year_and_the_turn_of_the_year() -> None:
    year = numbered(ordinary_slots())
    assert airs(year, datetime(1999, 12, 31, 22, tzinfo=UTC), 4) == [8758, 8759, 0, 1]
    assert airs(year, datetime(2031, 12, 31, 22, tzinfo=UTC), 4) == [8758, 8759, 0, 1]


def test_29_february_is_answered_from_the_28th() -> None:
    year = numbered(ordinary_slots())
    eve = datetime(2028, 2, 28, 23, tzinfo=UTC)
    first_of_28th = (31 + 27) * 24
    assert airs(year, eve, 26) == [
        first_of_28th + 23,
        *range(first_of_28th, first_of_28th + 24),
        first_of_28th + 24,
    ]


def test_a_file_with_29_february_answers_it_itself() -> None:
    year = numbered(sorted(ordinary_slots() + leap_day_slots()))
    assert airs(year, datetime(2028, 2, 29, tzinfo=UTC), 2) == [(31 + 28) * 24, (31 + 28) * 24 + 1]
    assert airs(year, datetime(2027, 2, 28, 23, tzinfo=UTC), 2) == [(31 + 28) * 24 - 1, (31 + 29) * 24]


def test_hours_begin_with_the_one_in_which_the_start_falls_and_end_before_the_end() -> None:
    start = datetime(2026, 3, 1, 6, 40, tzinfo=UTC)
    asked = hours_asked(start, datetime(2026, 3, 1, 9, tzinfo=UTC), 0)
    assert [time.hour for time, _ in asked] == [6, 7, 8]
    assert [time.hour for time, _ in hours_asked(start, datetime(2026, 3, 1, 9, 1, tzinfo=UTC), 0)] == [6, 7, 8, 9]


def test_a_zone_of_half_an_hour() -> None:
    """The file's clock rules: at UTC+5:30 its hours begin at half past in UTC."""
    start = datetime(2026, 3, 1, 6, 40, tzinfo=UTC)
    assert hours_asked(start, start + HOUR, 5.5) == [
        (datetime(2026, 3, 1, 6, 30, tzinfo=UTC), Slot(3, 1, 12)),
        (datetime(2026, 3, 1, 7, 30, tzinfo=UTC), Slot(3, 1, 13)),
    ]


def test_summer_time_moves_no_hour() -> None:
    """20:00 daylight time of a barn is 19:00 in the file's standard time."""
    daylight = timezone(timedelta(hours=-8))
    start = datetime(2026, 7, 1, 20, tzinfo=daylight)
    assert hours_asked(start, start + HOUR, -9) == [(datetime(2026, 7, 2, 4, tzinfo=UTC), Slot(7, 1, 19))]


def test_the_weather_of_another_date() -> None:
    year = numbered(ordinary_slots(), utc_offset_h=-9)
    start = datetime(2026, 7, 19, 16, tzinfo=STANDARD)
    asked = spell_of(year, start, start + 18 * HOUR, like=date(2001, 1, 8)).hours
    assert [hour.air_c for hour in asked] == list(range(7 * 24 + 16, 8 * 24 + 10))
    assert asked[0].time == start


def test_what_is_unknown_is_taken_towards_the_cold_and_the_wet_and_said() -> None:
    year = numbered(ordinary_slots())
    bare = [
        replace(hour, rh=None, irradiance_wm2=None, precip_mm=None, clear_night=None) if hour.slot.hour == 1 else hour
        for hour in year.hours
    ]
    start = datetime(2026, 1, 1, tzinfo=UTC)
    spell = spell_of(year.with_hours(bare, note=NOTE), start, start + 3 * HOUR)
    assert (spell.hours[1].rh, spell.hours[1].irradiance_wm2) == (0.8, 0)
    assert (spell.hours[1].precip_mm, spell.hours[1].clear_night) == (None, 1)
    assert spell.unknown == tuple((what, (start + HOUR,)) for what in (PRECIP, RH, SUN, SKY))
    assert spell.counted[0] == ("precip_mm", 1)
    said = "In 1 of 3 hours precipitation is unknown, so rain is expected for what may go out."
    assert say_unknown(spell.counted, 3)[0] == said
    assert spell.note == notes.say([NOTE])


def test_an_hour_without_air_or_wind_is_a_gap_with_its_place() -> None:
    year = numbered(ordinary_slots())
    for lacking in ({"air_c": None}, {"wind_10m_ms": None}):
        holed = year.with_hours(replace(hour, **lacking) if hour.slot == Slot(1, 1, 2) else hour for hour in year.hours)
        start = datetime(2026, 1, 1, tzinfo=UTC)
        assert len(spell_of(holed, start, start + 2 * HOUR).hours) == 2
        with pytest.raises(WeatherGap, match=r"here has no air temperature or wind at 1 January 02:00\."):
            spell_of(holed, start, start + 3 * HOUR)


def test_kinds_of_precipitation_come_through() -> None:
    year = numbered(ordinary_slots())
    snowy = year.with_hours(replace(hour, precip_mm=1, precip_kind=PrecipKind.SNOW) for hour in year.hours)
    start = datetime(2026, 1, 1, tzinfo=UTC)
    assert spell_of(snowy, start, start + HOUR).hours[0].precip_kind is PrecipKind.SNOW


@pytest.mark.parametrize(
    ("start", "end"),
    [
        (datetime(2026, 1, 1, tzinfo=UTC), datetime(2026, 1, 1, tzinfo=UTC)),
        (datetime(2026, 1, 1), datetime(2026, 1, 2, tzinfo=UTC)),  # noqa: DTZ001
        (datetime(2026, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC)),
    ],
)
def test_a_span_that_is_none_is_refused(start: datetime, end: datetime) -> None:
    with pytest.raises(ValueError, match="start and end need a time zone"):
        hours_asked(start, end, 0)


@given(
    start=st.datetimes(datetime(1970, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC)),  # noqa: DTZ001
    length=st.integers(1, 72 * 60),
    offset=st.sampled_from([-9.0, -3.5, 0.0, 5.75, 14.0]),
)
def test_hours_are_consecutive_cover_the_span_and_agree_with_the_calendar(
    start: datetime, length: int, offset: float
) -> None:
    end = start + timedelta(minutes=length)
    asked = hours_asked(start, end, offset)
    times = [time for time, _ in asked]
    assert times[0] <= start < times[0] + HOUR
    assert times[-1] < end <= times[-1] + HOUR
    assert {later - earlier for earlier, later in pairwise(times)} <= {HOUR}
    for time, slot in asked:
        local = time + timedelta(hours=offset)
        assert (slot.month, slot.day, slot.hour) == (local.month, local.day, local.hour)


def test_each_hour_of_a_year_is_kept_under_a_key_of_its_own() -> None:
    slots = ordinary_slots() + leap_day_slots()
    assert len({year_time(slot, -9) for slot in slots}) == 8784


def test_an_uploaded_year_answers_like_the_shipped_one() -> None:
    start = datetime(2026, 2, 18, 16, tzinfo=STANDARD)
    uploaded = sources.read(files.upload(files.lines(shipped.ALASKA)))
    assert spell_of(uploaded, start, start + 18 * HOUR) == spell_of(ALASKA, start, start + 18 * HOUR)
