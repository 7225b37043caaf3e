"""Size, cut and measure; facts of the trade are common practice, no source."""

import pytest

from barnrugs.matching import fit
from barnrugs.matching.fit import Size
from barnrugs.matching.words import Build, Cut, Fit
from tests.matching.choice_builders import animal, turnout


def test_the_size_line_goes_from_chest_to_tail_and_a_78_wears_a_78():
    """Chest centre, round the widest part of shoulder, barrel and hip, to tail centre (common practice, no source)."""
    assert fit.__doc__ is not None
    for landmark in ("centre of the chest", "widest part of shoulder, barrel and hip", "centre of the\ntail"):
        assert landmark in fit.__doc__
    assert fit.size(turnout(size_in=78), animal(chest_to_tail_in=78)) is Size.RIGHT
    assert fit.next_size_in(78) == 78


@pytest.mark.parametrize(
    ("over_in", "expected"),
    [
        (-3.1, Size.TOO_SMALL),
        (-3, Size.STEP_UNDER),
        (-0.1, Size.STEP_UNDER),
        (0, Size.RIGHT),
        (2.9, Size.RIGHT),
        (3, Size.STEP_OVER),
        (3.1, Size.TOO_LARGE),
        (6, Size.TOO_LARGE),
    ],
)
def test_size_minus_measure_in_inches(over_in: float, expected: Size):
    assert fit.size(turnout(size_in=78 + over_in), animal(chest_to_tail_in=78)) is expected


@pytest.mark.parametrize(
    ("over_cm", "expected"),
    [
        (-6, Size.TOO_SMALL),
        (-5, Size.STEP_UNDER),
        (-1, Size.STEP_UNDER),
        (0, Size.RIGHT),
        (4, Size.RIGHT),
        (5, Size.STEP_OVER),
        (6, Size.TOO_LARGE),
    ],
)
def test_back_length_goes_by_steps_of_5_cm(over_cm: float, expected: Size):
    continental = turnout(size_in=None, size_back_cm=145 + over_cm)
    assert fit.size(continental, animal(chest_to_tail_in=None, back_length_cm=145)) is expected


def test_the_two_lines_are_never_converted_into_each_other():
    assert fit.size(turnout(size_in=None, size_back_cm=145), animal(chest_to_tail_in=78)) is Size.UNKNOWN
    assert fit.size(turnout(size_in=78), animal(chest_to_tail_in=None, back_length_cm=145)) is Size.UNKNOWN


def test_inches_decide_where_both_lines_are_known():
    both = turnout(size_in=78, size_back_cm=100)
    assert fit.size(both, animal(chest_to_tail_in=78, back_length_cm=145)) is Size.RIGHT


def test_an_inch_measure_that_came_from_centimetres_still_meets_the_edge():
    assert fit.size(turnout(size_in=78), animal(chest_to_tail_in=190.5 / 2.54)) is Size.STEP_OVER


@pytest.mark.parametrize(("measure_in", "look_for"), [(78, 78), (77, 78), (78.5, 80), (79, 80), (80, 80), (66.1, 68)])
def test_between_sizes_go_up(measure_in: float, look_for: int):
    """Even inches; between sizes, go up (common practice, no source)."""
    assert fit.next_size_in(measure_in) == look_for


AGAINST = {
    (Cut.NARROW, Build.STOCKY),
    (Cut.BROAD, Build.FINE),
    (Cut.COB, Build.FINE),
    (Cut.DRAFT, Build.FINE),
}


@pytest.mark.parametrize("cut", Cut)
@pytest.mark.parametrize("build", Build)
def test_cut_against_build(cut: Cut, build: Build):
    """Stocky not narrow; fine not broad, cob or draft; average all (common practice, no source)."""
    assert fit.cut_against_build(cut, build) is ((cut, build) in AGAINST)


@pytest.mark.parametrize(
    ("age", "days", "old"),
    [(2, 90, False), (2, 91, True), (3.9, 91, True), (4, 91, False), (4, 365, False), (4, 366, True), (9, None, False)],
)
def test_a_measurement_grows_old(age: float, days: int | None, old: bool):
    assert fit.measure_is_old(animal(age_years=age, measured_days_ago=days)) is old


def test_only_a_note_that_it_fits_beats_arithmetic():
    assert [note for note in Fit if fit.was_tried_and_fits(turnout(fit=note))] == [Fit.FITS]
