"""Weight words and shells: common practice, no source."""

import pytest

from barnrugs.matching.strength import FillWord, denier_need, fill_word, grades_below
from barnrugs.matching.words import Habit


@pytest.mark.parametrize(
    ("fill_g", "expected"),
    [
        (0, FillWord.SHEET),
        (1, FillWord.LIGHT),
        (100, FillWord.LIGHT),
        (101, FillWord.MEDIUM),
        (249, FillWord.MEDIUM),
        (250, FillWord.HEAVY),
        (400, FillWord.HEAVY),
    ],
)
def test_weight_words(fill_g: float, expected: FillWord):
    """0 g sheet; to 100 g light; above 100 and below 250 medium; from 250 heavy (common practice, no source)."""
    assert fill_word(fill_g) is expected


@pytest.mark.parametrize(
    ("habits", "alone", "companions_chew", "need"),
    [
        (set(), True, False, 600),
        (set(), False, False, 1200),
        (set(), None, False, 1200),
        ({Habit.HEAD_SHY}, True, False, 600),
        ({Habit.ROLLS}, True, False, 1200),
        ({Habit.CHEWS_OWN}, True, False, 2100),
        ({Habit.CHEWS_OTHERS}, False, False, 2100),
        (set(), False, True, 2100),
    ],
)
def test_shell_by_habit_and_company(habits: set[Habit], alone: bool | None, companions_chew: bool, need: int):
    """600 for a quiet horse alone, 1200 the usual, 2100 for chewers and their company (common practice, no source)."""
    assert denier_need(frozenset(habits), alone=alone, companions_chew=companions_chew) == need


@pytest.mark.parametrize(
    ("denier", "need", "grades"),
    [(2100, 2100, 0), (1680, 2100, 1), (1200, 2100, 1), (600, 2100, 2), (600, 1200, 1), (420, 600, 1), (1200, 600, 0)],
)
def test_grades_below(denier: int, need: int, grades: int):
    assert grades_below(denier, need) == grades
