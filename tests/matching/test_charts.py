"""Reading a keeper's chart (common practice, no source), and what is wrong with one."""

from datetime import UTC, datetime, timedelta

import pytest

from barnrugs.matching.charts import Chart, FaultKind, Row, Wetness, faults, read
from barnrugs.matching.strength import FillWord
from barnrugs.matching.weather import Hour, Place, Stay
from barnrugs.matching.words import PlaceKind

START = datetime(2026, 1, 10, 12, tzinfo=UTC)
NONE, LIGHT, MEDIUM, HEAVY = (
    Row(10, None),
    Row(4, 10, fill=FillWord.LIGHT),
    Row(-7, 4, fill=FillWord.MEDIUM),
    Row(None, -7, fill=FillWord.HEAVY),
)
CHART = Chart((NONE, LIGHT, MEDIUM, HEAVY))


def stay(airs, *, kind=PlaceKind.TURNOUT, wind=2.0, precip=0.0, gain=0.0):
    hours = tuple(Hour(START + timedelta(hours=number), air, wind, precip_mm=precip) for number, air in enumerate(airs))
    return Stay(hours, Place(kind, indoor_gain_c=gain))


def test_outdoors_it_is_read_at_the_warmest_hour():
    reading = read(CHART, stay([-9, -2, 6]))
    assert (reading.row, reading.read_c, reading.at) == (LIGHT, 6, 2)


def test_in_a_stall_it_is_read_at_the_coldest_hour_of_the_barns_own_air():
    reading = read(CHART, stay([-9, -2, 6], kind=PlaceKind.STALL, gain=8))
    assert (reading.row, reading.read_c) == (MEDIUM, -1)


@pytest.mark.parametrize(
    ("wind", "precip", "column"),
    [
        (6.0, 0.0, Wetness.DRY),
        (6.1, 0.0, Wetness.WET_OR_WINDY),
        (1, 0.5, Wetness.WET_OR_WINDY),
        (1, None, "wet_or_windy"),
    ],
)
def test_the_column_follows_rain_and_mean_wind(wind, precip, column):
    rows = (Row(None, None, wet=Wetness.DRY), Row(None, None, wet=Wetness.WET_OR_WINDY, fill=FillWord.MEDIUM))
    reading = read(Chart(rows), stay([2, 3], wind=wind, precip=precip))
    assert reading.wet == column
    assert reading.row == rows[column == Wetness.WET_OR_WINDY]


def test_feels_like_is_the_wind_chill_where_that_is_defined():
    """-20 degC at 30 km/h feels like -32.6 (NWS and Environment Canada 2001)."""
    felt = Chart(CHART.rows, feels_like=True)
    assert read(felt, stay([-20], wind=30 / 3.6)).read_c == pytest.approx(-32.6, abs=0.05)
    assert read(felt, stay([15], wind=10)).read_c == 15
    assert read(felt, stay([-5], kind=PlaceKind.STALL, wind=10)).read_c == -5


def test_within_the_tolerance_the_next_row_is_as_good():
    reading = read(Chart(CHART.rows, tolerance_c=1), stay([4.5]))
    assert (reading.row, reading.also) == (LIGHT, (MEDIUM,))
    assert read(Chart(CHART.rows, tolerance_c=1), stay([7])).also == ()


def test_a_whole_chart_has_no_faults():
    assert faults(CHART.rows) == []


def test_gaps_and_overlaps_are_named_by_column():
    found = faults([Row(None, 0, fill=FillWord.HEAVY), Row(2, None), Row(1, 5, wet=Wetness.DRY, place=PlaceKind.STALL)])
    assert {(fault.kind, fault.place, fault.wet, fault.from_c, fault.below_c) for fault in found} == {
        (FaultKind.GAP, PlaceKind.TURNOUT, Wetness.DRY, 0, 2),
        (FaultKind.GAP, PlaceKind.TURNOUT, Wetness.WET_OR_WINDY, 0, 2),
        (FaultKind.GAP, PlaceKind.STALL, Wetness.DRY, 0, 1),
        (FaultKind.OVERLAP, PlaceKind.STALL, Wetness.DRY, 2, 5),
    }


def test_a_gap_reads_as_no_row():
    assert read(Chart((LIGHT,)), stay([20])).row is None
