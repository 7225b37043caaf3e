"""Weight words and shell strength (common practice, no source).

Denier is yarn mass: strength, not warmth and not waterproofness.
"""

from enum import StrEnum
from typing import Final

from barnrugs.matching.words import Habit

LIGHT_TO_G: Final = 100.0
HEAVY_FROM_G: Final = 250.0
"""Fill in g/m2 where the weight words change (common practice, no source; not a standard)."""

QUIET_DENIER: Final = 600
USUAL_DENIER: Final = 1200
STRONG_DENIER: Final = 2100
"""Shells for a quiet horse alone, the usual, and for one that chews or is chewed, g per 9 km."""

CHEWING: Final = frozenset({Habit.CHEWS_OWN, Habit.CHEWS_OTHERS})
ROUGH: Final = CHEWING | {Habit.ROLLS}


class FillWord(StrEnum):
    SHEET = "sheet"
    LIGHT = "light"
    MEDIUM = "medium"
    HEAVY = "heavy"


def fill_word(fill_g: float) -> FillWord:
    """The trade's word for a fill in g/m2; the grams are what is stored."""
    if fill_g <= 0:
        return FillWord.SHEET
    if fill_g <= LIGHT_TO_G:
        return FillWord.LIGHT
    return FillWord.MEDIUM if fill_g < HEAVY_FROM_G else FillWord.HEAVY


def denier_need(habits: frozenset[Habit], *, alone: bool | None, companions_chew: bool) -> int:
    """The shell that a horse's habits and company at turnout call for: 600, 1200 or 2100 denier."""
    if companions_chew or habits & CHEWING:
        return STRONG_DENIER
    return QUIET_DENIER if alone and not habits & ROUGH else USUAL_DENIER


def grades_below(denier: int, need: int) -> int:
    """By how many grades of 600, 1200 and 2100 a shell falls short of a need; 0 if it does not."""
    return sum(denier < grade <= need for grade in (QUIET_DENIER, USUAL_DENIER, STRONG_DENIER))
