"""A damaged file is answered with the line and what is wrong."""

import io
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from barnrugs.weather import shipped, sources
from barnrugs.weather.hours import FAULTS_SHOWN, Fault, WeatherFileFault, WeatherYear
from barnrugs.weather.text import MAX_BYTES, MAX_FAULTS
from tests.weather import files

TMY3 = files.lines(shipped.ALASKA)
EPW = files.epw_lines(shipped.ALASKA)
Rows = list[str]


def faults_of(rows: Rows) -> list[tuple[int | None, str]]:
    with pytest.raises(WeatherFileFault) as caught:
        sources.read(files.upload(rows))
    return [(fault.line, fault.wrong) for fault in caught.value.faults]


def cell(line: int, place: int | str, text: str) -> Callable[[Rows], None]:
    def change(rows: Rows) -> None:
        cells = rows[line - 1].split(",")
        cells[rows[1].split(",").index(place) if isinstance(place, str) else place] = text
        rows[line - 1] = ",".join(cells)

    return change


def line(number: int, text: str) -> Callable[[Rows], None]:
    return lambda rows: rows.__setitem__(number - 1, text)


def without(first: int, last: int) -> Callable[[Rows], None]:
    return lambda rows: rows.__delitem__(slice(first - 1, last))


def cut(rows: Rows) -> None:
    del rows[5000:]
    rows[4999] = rows[4999][:40]


STAMP = "is not the end of an hour, MM/DD/YYYY and 01:00 to 24:00"
TMY3_DAMAGE = {
    "a word for a number": (cell(100, "Dry-bulb (C)", "cold"), (100, "Dry-bulb (C) “cold” is not a number")),
    "nan": (cell(100, "Wspd (m/s)", "nan"), (100, "Wspd (m/s) “nan” is not a number")),
    "infinite": (cell(100, "Wspd (m/s)", "1e999"), (100, "Wspd (m/s) “1e999” is too large")),
    "python's underscores": (cell(9, "Wspd (m/s)", "1_0"), (9, "Wspd (m/s) “1_0” is not a number")),
    "too hot": (cell(100, "Dry-bulb (C)", "99.0"), (100, "Dry-bulb (C) 99.0 is outside -70 to 60 degC")),
    "wind backwards": (cell(7, "Wspd (m/s)", "-2"), (7, "Wspd (m/s) -2 is outside 0 to 75 m/s")),
    "humid beyond all": (cell(8, "RHum (%)", "101"), (8, "RHum (%) 101 is outside 0 to 100 %")),
    "eleven tenths": (cell(8, "TotCld (tenths)", "11"), (8, "TotCld (tenths) 11 is outside 0 to 10 tenths")),
    "rain below zero": (cell(8, "Lprecip depth (mm)", "-1"), (8, "Lprecip depth (mm) -1 is outside 0 to 10000 mm")),
    "no date": (cell(50, 0, "13/41/1997"), (50, f"“13/41/1997 24:00” {STAMP}")),
    "half hours": (cell(50, 1, "23:30"), (50, f"“01/02/1997 23:30” {STAMP}")),
    "hour twice": (cell(50, 1, "23:00"), (50, "2 January 22:00 stands already in line 49")),
    "column too many": (line(60, TMY3[59] + ",1"), (60, "69 columns instead of 68")),
    "empty line": (line(60, ""), (60, "1 columns instead of 68")),
    "an hour missing": (without(60, 60), (59, "after it 3 January 09:00 is missing")),
    "days missing": (without(60, 131), (59, "after it 72 hours from 3 January 09:00 to 6 January 08:00 are missing")),
    "first hour missing": (without(3, 3), (None, "1 January 00:00 is missing")),
    "cut off": (cut, (5000, "12 columns instead of 68; the file is cut off here")),
    "no rows": (without(3, 9000), (None, "no hours follow the head of the file")),
    "no place": (line(1, "703165,SAND POINT,AK"), (1, "3 columns instead of 7 from the station to the altitude")),
    "a place without end": (cell(1, 1, "x" * 200_000), (1, "cannot be taken apart into columns (field larger than")),
    "nowhere": (cell(1, 4, "95.0"), (1, "latitude 95.0 is outside -90 to 90")),
    "no zone": (cell(1, 3, ""), (1, "time zone is missing")),
    "no head": (without(2, 2), (2, "the head lacks Date (MM/DD/YYYY)")),
    "no wind column": (line(2, TMY3[1].replace("Wspd (m/s)", "Gusts")), (2, "the head lacks Wspd (m/s)")),
    "another file": (line(1, "name,colour"), (1, "2 columns instead of 7 from the station to the altitude")),
}


@pytest.mark.parametrize("damage", TMY3_DAMAGE)
def test_a_damaged_tmy3_file_is_answered_with_the_line(damage: str) -> None:
    change, (where, wrong) = TMY3_DAMAGE[damage]
    rows = list(TMY3)
    change(rows)
    found = faults_of(rows)[0]
    assert found[0] == where
    assert found[1].startswith(wrong)


EPW_DAMAGE = {
    "a word for a number": (cell(100, 6, "cold"), (100, "dry bulb temperature “cold” is not a number")),
    "out of range": (cell(100, 21, "80"), (100, "wind speed 80 is outside 0 to 75 m/s")),
    "no such hour": (cell(100, 3, "25"), (100, "month 1, day 4, hour 25 is no hour of a year, 1 to 24")),
    "no such day": (cell(100, 2, "32"), (100, "month 1, day 32, hour 20 is no hour of a year, 1 to 24")),
    "hour twice": (cell(100, 3, "19"), (100, "4 January 18:00 stands already in line 99")),
    "columns": (line(100, "1997,1,4"), (100, "3 columns instead of 35")),
    "an hour missing": (without(100, 100), (99, "after it 4 January 19:00 is missing")),
    "no place": (line(1, "LOCATION,Here"), (1, "2 columns instead of 10 from LOCATION to the altitude")),
    "nowhere": (cell(1, 7, "181"), (1, "longitude 181 is outside -180 to 180")),
    "head out of order": (without(4, 4), (4, "should begin with GROUND TEMPERATURES")),
    "four records an hour": (line(8, "DATA PERIODS,1,4,Data"), (8, "4 records an hour; one is needed")),
    "no rows": (without(9, 9000), (None, "no hours follow the head of the file")),
}


@pytest.mark.parametrize("damage", EPW_DAMAGE)
def test_a_damaged_epw_file_is_answered_with_the_line(damage: str) -> None:
    change, expected = EPW_DAMAGE[damage]
    rows = list(EPW)
    change(rows)
    assert faults_of(rows)[0] == expected


def test_a_place_without_end_is_answered_with_its_line() -> None:
    rows = list(EPW)
    cell(1, 1, "x" * 200_000)(rows)
    assert faults_of(rows) == [(1, "cannot be taken apart into columns (field larger than field limit (131072))")]


def test_all_faults_are_told_at_once_and_the_sentence_shows_ten() -> None:
    rows = list(TMY3)
    for number in range(200, 212):
        cell(number, "Dry-bulb (C)", "x")(rows)
    with pytest.raises(WeatherFileFault) as caught:
        sources.read(files.upload(rows, "year.csv"))
    assert [fault.line for fault in caught.value.faults] == list(range(200, 212))
    assert str(caught.value).startswith("year.csv: line 200: Dry-bulb (C) “x” is not a number; line 201: ")
    assert str(caught.value).endswith(f"; and {12 - FAULTS_SHOWN} more.")


def test_a_file_wrong_throughout_is_given_up_after_a_hundred_faults() -> None:
    assert len(faults_of([*TMY3[:2], *(row.replace(",", ";") for row in TMY3[2:])])) == MAX_FAULTS
    assert len(faults_of([*TMY3[:2], *TMY3[2::2]])) == MAX_FAULTS


def test_a_year_without_any_wind_is_refused() -> None:
    rows = list(TMY3)
    for number in range(3, len(rows) + 1):
        cell(number, "Wspd (m/s)", "-9900")(rows)
    assert faults_of(rows) == [(None, "no hour has a value of wind speed")]


def test_empty_unknown_binary_huge_and_absent_files_are_refused(tmp_path) -> None:
    def fault(raw: bytes) -> Fault:
        with pytest.raises(WeatherFileFault) as caught:
            sources.read(io.BytesIO(raw))
        return caught.value.faults[0]

    assert fault(b"") == Fault(None, "the file is empty")
    assert fault(b" \n\n") == Fault(None, "the file is empty")
    assert fault(b"a,b\n1,2\n") == Fault(1, "the head of the file is neither that of TMY3 nor of EPW")
    assert (
        fault("LOCATION,x\n".encode("utf-16")).wrong
        == "not plain text (UTF-16 or a binary file); save it as UTF-8 text"
    )
    assert fault(b"\n" * 2 + b"a\0") == Fault(3, "not plain text (UTF-16 or a binary file); save it as UTF-8 text")
    assert fault(b"1" * (MAX_BYTES + 1)) == Fault(None, "larger than 20 MB")
    with pytest.raises(WeatherFileFault, match=r"none\.csv: cannot be opened"):
        sources.read(tmp_path / "none.csv")
    with pytest.raises(WeatherFileFault, match="cannot be opened"):
        sources.read(tmp_path)


def test_a_byte_of_another_encoding_among_the_figures_is_named(tmp_path) -> None:
    raw = "\n".join(TMY3).encode().split(b"\n")
    raw[99] = raw[99].replace(b",E,", b",\xe9,", 1)
    with pytest.raises(WeatherFileFault) as caught:
        sources.read(io.BytesIO(b"\n".join(raw)))
    assert caught.value.faults == (Fault(100, "a byte that is not UTF-8 text among the figures"),)


SMALL = "\n".join(TMY3[:60])
SMALL_EPW = "\n".join(EPW[:60])


@settings(max_examples=150)
@given(
    text=st.sampled_from([SMALL, SMALL_EPW]),
    place=st.integers(0, 4000),
    junk=st.text(max_size=6) | st.binary(max_size=6),
)
def test_no_damage_to_sixty_lines_ends_in_anything_but_a_sentence(text: str, place: int, junk: str | bytes) -> None:
    raw = text.encode()
    place %= len(raw)
    put = junk.encode("utf-8", "surrogatepass") if isinstance(junk, str) else junk
    with pytest.raises(WeatherFileFault) as caught:
        sources.read(io.BytesIO(raw[:place] + put + raw[place + len(put) :]))
    assert caught.value.faults
    assert all(fault.wrong for fault in caught.value.faults)


def test_an_undamaged_file_has_no_fault() -> None:
    assert isinstance(sources.read(files.upload(TMY3)), WeatherYear)
