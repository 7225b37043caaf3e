"""The coat over a winter: what is drawn follows what was noted and the season."""

from datetime import date, timedelta
from itertools import pairwise

import pytest

from horses.domain import coat as domain
from horses.enums import Clip
from horses.views import coat as drawing
from tests import factories as make

TODAY = date(2026, 1, 15)


@pytest.fixture
def horse(db):
    return make.HorseFactory()


def winter(horse, today=TODAY, **how):
    return domain.winter(horse, list(horse.coats.all()), today, **how)


@pytest.mark.parametrize(
    ("today", "southern", "first"),
    [
        (date(2026, 1, 15), False, date(2025, 10, 1)),
        (date(2026, 4, 30), False, date(2025, 10, 1)),
        (date(2026, 5, 1), False, date(2026, 10, 1)),
        (date(2026, 7, 15), True, date(2026, 4, 1)),
        (date(2026, 12, 1), True, date(2027, 4, 1)),
    ],
)
def test_the_winter_at_hand(today, southern, first):
    assert domain.bounds(today, southern=southern)[0] == first


def test_an_unclipped_coat_is_longest_about_midwinter(horse):
    """Longest in January and February, shortest in October and March: DeBoer et al. 2021."""
    found = winter(horse)
    assert date(2025, 12, 15) <= found.deepest.on <= date(2026, 3, 1)
    assert found.deepest.full_mm == pytest.approx(26)
    assert found.days[0].full_mm < found.deepest.full_mm
    assert found.days[-1].full_mm < found.deepest.full_mm
    assert all(day.clipped_mm is None for day in found.days)


def test_a_blanketed_horse_has_the_shorter_coat(horse):
    """43 of 58 mm: DeBoer et al. 2021."""
    bare = winter(horse).today.full_mm
    horse.blanketed_since_autumn = True
    assert winter(horse).today.full_mm == pytest.approx(bare * 43 / 58, rel=0.02)


def test_a_clip_grows_back_from_its_day_and_never_above_the_coat(horse):
    """About 10 mm of hair, 5 mm of depth, a month until the solstice (assumed)."""
    make.CoatFactory(horse=horse, on=date(2025, 10, 20), clip=Clip.TRACE, clipped_now=True, depth_mm=None)
    found = winter(horse)
    clipped = [day for day in found.days if day.clipped_mm is not None]
    assert clipped[0].on >= date(2025, 10, 20)
    assert clipped[0].clipped_mm < 4
    month_later = next(day for day in clipped if day.on >= date(2025, 11, 19))
    assert month_later.clipped_mm == pytest.approx(2 + 5, abs=0.7)
    depths = [day.clipped_mm for day in clipped if day.on < date(2026, 2, 1)]
    assert depths == sorted(depths)
    assert all(day.clipped_mm <= day.full_mm for day in clipped)


def test_a_measured_depth_gives_way_to_the_natural_course_within_45_days(horse):
    """By half of what it was off when half of the time is over (assumed)."""
    days = [date(2025, 11, 30) + timedelta(days=number) for number in range(60)]
    natural = [domain.on_day(horse, [], day, southern=False).full_mm for day in days]
    make.CoatFactory(horse=horse, on=days[1], depth_mm=12)
    full = [domain.on_day(horse, list(horse.coats.all()), day, southern=False).full_mm for day in days]
    assert full[0] == natural[0]
    assert full[1] == pytest.approx(12)
    off = 12 / natural[1] - 1
    assert full[1 + 9] == pytest.approx(natural[1 + 9] * (1 + off * 0.8))
    assert full[1 + 45 :] == pytest.approx(natural[1 + 45 :])
    assert max(abs(after - before) for before, after in pairwise(full[1:])) < 1


def test_an_old_clip_growing_out_is_no_new_clip(horse):
    make.CoatFactory(horse=horse, on=date(2025, 10, 20), clip=Clip.FULL, clipped_now=True, depth_mm=None)
    before = winter(horse).today.clipped_mm
    make.CoatFactory(horse=horse, on=date(2026, 1, 10), clip=Clip.FULL, clipped_now=False, depth_mm=None)
    assert winter(horse).today.clipped_mm == before


class TestDrawing:
    def test_its_lines_stay_inside_the_frame(self, horse):
        make.CoatFactory(horse=horse, on=date(2025, 11, 3), clip=Clip.HUNTER, clipped_now=True, depth_mm=60)
        drawn = drawing.draw(winter(horse))
        for line in (drawn.full, *drawn.clipped):
            for point in line.split():
                x, y = map(float, point.split(","))
                assert drawing.LEFT <= x <= drawing.RIGHT
                assert drawing.TOP <= y <= drawing.BOTTOM

    def test_a_second_clip_begins_a_line_of_its_own(self, horse):
        for day in (date(2025, 10, 20), date(2026, 1, 5)):
            make.CoatFactory(horse=horse, on=day, clip=Clip.HUNTER, clipped_now=True, depth_mm=None)
        drawn = drawing.draw(winter(horse))
        assert len(drawn.clipped) == 2
        assert [mark.label for mark in drawn.clips] == ["Hunter clip", "Hunter clip"]

    def test_the_words_say_what_the_lines_show(self, horse):
        make.CoatFactory(horse=horse, on=TODAY, clip=Clip.BIB, clipped_now=True, depth_mm=22)
        drawn = drawing.draw(winter(horse))
        assert "22 mm deep" in drawn.text
        assert "Where it is clipped it is at about 2 mm." in drawn.text

    def test_in_summer_today_is_not_on_the_drawing(self, horse):
        assert drawing.draw(winter(horse, date(2026, 7, 1))).today is None
