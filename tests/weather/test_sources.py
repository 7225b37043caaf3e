"""Parsed years against pvlib's own readers, all rows, and against climate figures."""

from collections.abc import Iterator

import numpy as np
import pandas as pd
import pytest
from pvlib.iotools import read_epw

from barnrugs.weather import shipped, sources
from barnrugs.weather.hours import WeatherYear
from barnrugs.weather.sources import epw, tmy3
from tests.weather import files

BOTH = [shipped.ALASKA, shipped.CAROLINA]
COLUMNS = {
    "air_c": ("temp_air", 1),
    "wind_10m_ms": ("wind_speed", 1),
    "rh": ("relative_humidity", 100),
    "irradiance_wm2": ("ghi", 1),
}


def column(year: WeatherYear, name: str) -> np.ndarray:
    return np.array([getattr(hour, name) for hour in year.hours], dtype=float)


def slots(year: WeatherYear) -> list[tuple[int, int, int]]:
    return [(hour.slot.month, hour.slot.day, hour.slot.hour) for hour in year.hours]


@pytest.mark.parametrize("name", BOTH)
def test_every_row_of_a_tmy3_file_is_as_pvlib_reads_it(name: str) -> None:
    data, site = files.table(name)
    year = shipped.year_of(name)
    assert (year.site.latitude, year.site.longitude) == (site["latitude"], site["longitude"])
    assert (year.site.utc_offset_h, year.site.altitude_m) == (site["TZ"], site["altitude"])
    assert slots(year) == [begin[1:] for begin in files.begins(data)]
    for ours, (theirs, scale) in COLUMNS.items():
        np.testing.assert_array_equal(column(year, ours), data[theirs].to_numpy() / scale, err_msg=ours)
    np.testing.assert_array_equal(column(year, "sky_cover"), data["TotCld (tenths)"].to_numpy() / 10)


@pytest.mark.parametrize("name", BOTH)
def test_every_row_of_an_epw_file_is_as_pvlib_reads_it(name: str, tmp_path) -> None:
    path = files.write(files.epw_lines(name), tmp_path / "year.epw")
    data, site = read_epw(path)
    year = sources.read(path)
    assert year.kind == epw.KIND
    assert year.site.utc_offset_h == site["TZ"]
    assert slots(year) == list(zip(data.index.month, data.index.day, data.index.hour, strict=True))
    for ours, (theirs, scale) in COLUMNS.items():
        np.testing.assert_array_equal(column(year, ours), data[theirs].to_numpy() / scale, err_msg=ours)
    np.testing.assert_array_equal(column(year, "sky_cover"), data["total_sky_cover"].to_numpy() / 10)


@pytest.mark.parametrize("name", BOTH)
def test_the_same_year_in_both_formats_gives_the_same_hours(name: str) -> None:
    from_epw = sources.read(files.upload(files.epw_lines(name)))
    for hour, other in zip(shipped.year_of(name).hours, from_epw.hours, strict=True):
        assert hour.slot == other.slot
        assert hour.air_c == other.air_c
        assert hour.clear_night == other.clear_night


def months(year: WeatherYear, name: str) -> Iterator[float]:
    for month in range(1, 13):
        yield float(np.mean([getattr(hour, name) for hour in year.hours if hour.slot.month == month]))


def test_monthly_means_are_those_of_the_climate() -> None:
    """1991-2020 normals, from memory: Greensboro January 4, July 26 degC; Cold Bay, the nearest long Alaskan record:
    February -2, August 11 degC. One month of a winter differs from its normal by up to 4 degC, of a summer by 3."""
    carolina = list(months(shipped.year_of(shipped.CAROLINA), "air_c"))
    alaska = list(months(shipped.year_of(shipped.ALASKA), "air_c"))
    assert carolina[0] == pytest.approx(4, abs=4)
    assert carolina[6] == pytest.approx(26, abs=3)
    assert alaska[1] == pytest.approx(-2, abs=4)
    assert alaska[7] == pytest.approx(11, abs=3)
    assert int(np.argmax(carolina)) == 6
    assert np.mean(list(months(shipped.year_of(shipped.ALASKA), "wind_10m_ms"))) > 5


def test_the_file_is_told_by_its_head_and_not_its_name(tmp_path) -> None:
    assert sources.read(files.upload(files.lines(shipped.ALASKA), "picture.png")).kind == tmy3.KIND
    assert sources.read(files.upload(files.epw_lines(shipped.ALASKA), "no name")).kind == epw.KIND


def test_windows_line_ends_a_byte_order_mark_and_blank_last_lines_do_no_harm(tmp_path) -> None:
    path = tmp_path / "year.csv"
    path.write_bytes(b"\xef\xbb\xbf" + "\r\n".join(files.lines(shipped.ALASKA)).encode() + b"\r\n\r\n")
    assert sources.read(path).hours == shipped.year_of(shipped.ALASKA).hours


def test_a_place_name_in_an_old_encoding_is_read(tmp_path) -> None:
    path = tmp_path / "year.epw"
    path.write_bytes("\n".join(files.epw_lines(shipped.ALASKA)).encode("latin-1"))
    assert sources.read(path).site.name.startswith("Aldersgård")


def test_midnight_written_as_the_day_after_is_the_same_hour() -> None:
    rows = list(files.lines(shipped.ALASKA))
    for count, row in enumerate(rows[2:], 2):
        day, clock, rest = row.split(",", 2)
        if clock == "24:00":
            following = pd.to_datetime(day, format="%m/%d/%Y").replace(year=2001) + pd.Timedelta(days=1)
            rows[count] = f"{following:%m/%d/%Y},00:00,{rest}"
    assert sources.read(files.upload(rows)).hours == shipped.year_of(shipped.ALASKA).hours


def test_missing_values_are_unknown_and_never_zero() -> None:
    rows = list(files.lines(shipped.ALASKA))
    cells = rows[2].split(",")
    names = rows[1].split(",")
    for name in ("RHum (%)", "GHI (W/m^2)", "TotCld (tenths)", "Dry-bulb (C)"):
        cells[names.index(name)] = "-9900"
    cells[names.index("Wspd (m/s)")] = ""
    rows[2] = ",".join(cells)
    first = sources.read(files.upload(rows)).hours[0]
    assert (first.air_c, first.wind_10m_ms, first.rh, first.sky_cover) == (None, None, None, None)
    assert (first.irradiance_wm2, first.precip_mm, first.clear_night) == (None, None, None)


def test_missing_values_of_an_epw_file_are_unknown() -> None:
    rows = list(files.epw_lines(shipped.ALASKA))
    cells = rows[8].split(",")
    for place, missing in {6: "99.9", 8: "999", 13: "9999", 21: "999", 22: "99", 33: "999", 34: "99"}.items():
        cells[place] = missing
    rows[8] = ",".join(cells)
    first = sources.read(files.upload(rows)).hours[0]
    assert (first.air_c, first.wind_10m_ms, first.rh, first.sky_cover) == (None, None, None, None)
    assert (first.irradiance_wm2, first.precip_mm, first.clear_night) == (None, None, None)


def test_an_epw_file_without_the_precipitation_columns_has_it_unknown() -> None:
    rows = list(files.epw_lines(shipped.ALASKA))
    rows[8:] = [row.rsplit(",", 2)[0] for row in rows[8:]]
    year = sources.read(files.upload(rows))
    assert {hour.precip_mm for hour in year.hours} == {None}


def test_a_real_29_february_is_kept() -> None:
    rows = list(files.epw_lines(shipped.ALASKA))
    leap = [row.replace(",2,28,", ",2,29,", 1) for row in rows[8:] if ",2,28," in row[:12]]
    year = sources.read(files.upload(rows + leap))
    assert len(leap) == 24
    assert len(year.hours) == 8784
