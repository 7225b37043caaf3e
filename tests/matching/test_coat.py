"""Coats: depth, growth, clips."""

from datetime import date, timedelta
from itertools import pairwise

import pytest

from barnrugs.matching import coat
from barnrugs.matching.coat import CoatState
from barnrugs.matching.words import Clip


def test_depth_is_half_the_length():
    """A: 58 mm of hair in January (DeBoer et al. 2021, J Equine Vet Sci, R) stand 29 mm deep."""
    assert coat.depth_mm(58) == 29


def test_blanketed_share():
    """DeBoer et al. 2021, J Equine Vet Sci (R): 43 mm blanketed of 58 mm bare."""
    assert pytest.approx(43 / 58, abs=0.005) == coat.BLANKETED


def test_typical_depths():
    """The table of depths (A)."""
    depths = {state: coat.typical_depth_mm(state) for state in CoatState}
    assert depths == {
        CoatState.FRESH_CLIP: 2,
        CoatState.SUMMER: 6,
        CoatState.STABLED: 9.5,
        CoatState.WINTER: 26,
        CoatState.WINTER_BLANKETED: pytest.approx(19.24),
    }


def test_clips_in_increasing_order():
    """Common practice, no source: bib, Irish, trace, blanket, hunter, full."""
    shares = [coat.CLIPPED_SHARE[clip] for clip in Clip]
    assert list(Clip) == ["none", "bib", "irish", "trace", "blanket", "hunter", "full"]
    assert shares == sorted(set(shares))
    assert (shares[0], shares[-1]) == (0, 1)


def test_longest_in_january_and_february():
    """DeBoer et al. 2021 (R): of October to March longest in January and February, shortest in October and March."""
    winter = {month: coat.natural_depth_mm(date(2026, month, 15)) for month in (10, 11, 12, 1, 2, 3)}
    assert sorted(winter, key=lambda month: winter[month])[:2] == [10, 3]
    assert winter[1] == winter[2] == max(winter.values()) == 26


def test_no_growth_after_the_solstice():
    """University of Minnesota Extension (R)."""
    assert coat.natural_depth_mm(date(2026, 2, 20)) <= coat.natural_depth_mm(date(2025, 12, 22))


def test_blanketed_since_autumn():
    assert coat.natural_depth_mm(date(2026, 1, 15), blanketed=True) == pytest.approx(26 * 0.74)
    assert coat.natural_depth_mm(date(2026, 7, 15), blanketed=True) == 6


def test_south_of_the_equator():
    assert coat.natural_depth_mm(date(2026, 7, 20), southern=True) == 26
    assert coat.natural_depth_mm(date(2026, 1, 15), southern=True) == 6


def test_every_day_has_a_depth():
    days = [date(2028, 1, 1) + timedelta(days=day) for day in range(366)]
    depths = [coat.natural_depth_mm(day) for day in days]
    assert min(depths) == 6
    assert max(depths) == 26
    assert max(abs(later - before) for before, later in pairwise(depths)) < 0.5


@pytest.mark.parametrize(
    ("clipped_on", "on", "expected"),
    [
        (date(2025, 10, 21), date(2025, 10, 21), 2.0),
        (date(2025, 10, 21), date(2025, 12, 21), 2.0 + 0.5 * 20),
        (date(2025, 12, 21), date(2026, 2, 20), 2.0 + 0.5 * 6),
        (date(2025, 11, 21), date(2026, 1, 20), 2.0 + 0.5 * (10 + 3)),
    ],
)
def test_regrowth(clipped_on, on, expected):
    """A: about 10 mm of hair a month until the winter solstice, 3 mm after."""
    assert coat.regrown_depth_mm(clipped_on, on, 26) == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize("southern", [False, True])
@pytest.mark.parametrize("full_mm", [1.0, 2.0, 6.0, 19.24, 26.0, 60.0])
def test_regrowth_is_the_sum_of_its_days(full_mm, southern):
    """A day grows what its month does, worked out here day by day to the end, never above the full coat."""
    shift = timedelta(days=183 if southern else 0)
    for days in (-3, 0, 1, 40, 200, 500, 1500):
        clipped_on = date(2021, 10, 1)
        on = clipped_on + timedelta(days=days)
        north = [clipped_on + shift + timedelta(days=day) for day in range(days)]
        hair = sum(10 if (6, 21) <= (day.month, day.day) < (12, 21) else 3 for day in north) / (365.25 / 12)
        assert coat.regrown_depth_mm(clipped_on, on, full_mm, southern=southern) == min(full_mm, 2 + hair / 2)


def test_a_clip_of_long_ago_is_no_work(monkeypatch):
    """A horse's whole clip history is looked through for each day of a winter."""
    looked_at = []
    shorten = coat._days_shorten
    monkeypatch.setattr(coat, "_days_shorten", lambda day: looked_at.append(day) or shorten(day))
    assert coat.regrown_depth_mm(date(202, 10, 1), date(2026, 2, 1), 26) == 26
    assert len(looked_at) < 365


def test_regrowth_ends_at_the_full_coat():
    assert coat.regrown_depth_mm(date(2025, 8, 1), date(2026, 2, 1), 19.24) == 19.24
