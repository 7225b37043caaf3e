"""What the two shipped years hold of precipitation, measured, and which of it is believed."""

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from barnrugs.weather import notes, precip, shipped, sources
from barnrugs.weather.precip import Reading, Why, judge
from tests.weather import files


def test_the_alaskan_file_lacks_precipitation_in_8011_of_8760_hours() -> None:
    data, _ = files.table(shipped.ALASKA)
    assert len(data) == 8760
    assert int((data["Lprecip depth (mm)"] == -9900).sum()) == 8011
    year = shipped.year_of(shipped.ALASKA)
    assert dict(year.unknown_precip) == {Why.MISSING: 8011, Why.NOT_HOURLY: 481, Why.TOO_MUCH: 12}
    assert sum(hour.precip_mm is None for hour in year.hours) == 8011 + 481 + 12
    assert notes.say(year.notes).startswith(
        "Precipitation in the file is unknown in 8,504 of 8,760 hours: 8,011 missing in the file"
    )


def test_what_is_left_of_the_alaskan_precipitation_is_as_the_file_has_it() -> None:
    data, _ = files.table(shipped.ALASKA)
    depth, period = data["Lprecip depth (mm)"], data["Lprecip quantity (hr)"]
    theirs = [float(mm) if hours == 1 and 0 <= mm <= 50 else None for mm, hours in zip(depth, period, strict=True)]
    assert [hour.precip_mm for hour in shipped.year_of(shipped.ALASKA).hours] == theirs
    assert Counter(mm for mm in theirs if mm)[1.0] == 39
    assert max(mm for mm in theirs if mm is not None) == 5


def test_the_carolina_file_marks_all_its_precipitation_uncertain() -> None:
    data, _ = files.table(shipped.CAROLINA)
    assert set(data["Lprecip uncert (code)"]) == {9}
    year = shipped.year_of(shipped.CAROLINA)
    assert dict(year.unknown_precip) == {Why.BAD_QUALITY: 8760}
    assert {hour.precip_mm for hour in year.hours} == {None}


def test_the_carolina_figures_are_absurd_without_the_code_too() -> None:
    """Eight metres a year: the normal of the place is about 1.1 m (1991-2020, from memory)."""
    data, _ = files.table(shipped.CAROLINA)
    assert data["Lprecip depth (mm)"].sum() > 8000
    year = sources.read(files.upload(files.epw_lines(shipped.CAROLINA)))
    reasons = dict(year.unknown_precip)
    assert {hour.precip_mm for hour in year.hours} == {None}
    assert reasons[Why.TOO_MUCH] + reasons[Why.BAD_YEAR] == 8760
    assert reasons[Why.TOO_MUCH] == int((data["Lprecip depth (mm)"] > 50).sum())


def test_a_plausible_year_is_believed() -> None:
    readings = [Reading(1.5 if hour % 9 == 0 else 0.0, 1) for hour in range(8760)]
    depths, why = judge(readings)
    assert depths == [reading.depth_mm for reading in readings]
    assert why == []


READINGS = st.builds(
    Reading,
    st.none() | st.floats(0, 1000),
    st.none() | st.sampled_from([1.0, 3.0, 6.0, 24.0]),
    st.none() | st.integers(0, 9),
)


@given(st.lists(READINGS, max_size=60))
def test_no_unknown_depth_is_ever_zero_and_none_above_the_limit_is_believed(readings: list[Reading]) -> None:
    depths, why = judge(readings)
    assert len(depths) == len(readings)
    assert depths.count(None) == len(why)
    for depth, reading in zip(depths, readings, strict=True):
        assert depth is None or (depth == reading.depth_mm and depth <= precip.HOUR_LIMIT_MM and reading.period_h == 1)
