"""Verdict, score, cautions and reasons of one outfit."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from barnrugs.matching.choose import choose
from barnrugs.matching.judge import half_up, verdict
from barnrugs.matching.outfit import Blanket
from barnrugs.matching.reasons import SENTENCES, Code, Level, Voice, because
from barnrugs.matching.weather import Place, Stay
from barnrugs.matching.words import Build, Clip, Cut, Fit, Habit, Need, PlaceKind, Position, Verdict, Waterproofing
from tests.matching.choice_builders import animal, caution_codes, codes, liner, named, stable, turnout
from tests.matching.weather_builders import STALL, hour, rainy, stay

MILD = stay(0, 3)
UNKNOWN = rainy([0.0, None])
THIN = frozenset({Need.THIN})


def cautions(blanket: Blanket, where: Stay = MILD, **horse: Any) -> set[Code]:
    return caution_codes(named(choose(animal(**horse), where, [blanket]), blanket.tag))


def bare_cautions(where: Stay, **horse: Any) -> set[Code]:
    return caution_codes(named(choose(animal(**horse), where, []), *()))


@pytest.mark.parametrize(
    ("score", "refused", "count", "expected"),
    [
        (0, False, 0, Verdict.WEAR),
        (1, False, 0, Verdict.WEAR),
        (1.001, False, 0, Verdict.CAUTION),
        (0, False, 1, Verdict.CAUTION),
        (4, False, 0, Verdict.CAUTION),
        (4, False, 3, Verdict.CAUTION),
        (4.001, False, 0, Verdict.NO),
        (0, True, 0, Verdict.NO),
    ],
)
def test_verdict(score: float, refused: bool, count: int, expected: Verdict):
    assert verdict(score, refused=refused, cautions=count) is expected


@pytest.mark.parametrize(("score", "half"), [(0, 0), (0.24, 0), (0.25, 0.5), (0.5, 0.5), (0.75, 1), (1.25, 1.5)])
def test_halves_round_up(score: float, half: float):
    assert half_up(score) == half


def test_score_is_the_mean_of_degrees_cold_and_one_and_a_half_times_warm():
    where = Stay((hour(0, -35, 5), hour(1, 12, 0)))
    judged = named(choose(animal(), where, [turnout(200)]), "T")
    cold, warm = judged.low_c[0] - -35, 12 - judged.high_c[1]
    assert cold > 0
    assert warm > 0
    assert judged.score == pytest.approx((cold + 1.5 * warm) / 2, abs=1e-6)
    assert judged.cold_degree_hours == pytest.approx(cold)
    assert judged.warm_degree_hours == pytest.approx(warm)
    assert [position for position, _ in judged.positions] == [Position.COLD, Position.WARM]


def test_warmth_of_the_bare_horse_is_shown_and_does_not_count():
    bare = choose(animal(40), stay(19), []).chosen
    assert bare.warm_degree_hours > 5
    assert (bare.score, bare.verdict) == (0, Verdict.WEAR)
    assert bare.warmth.code is Code.WARM_BARE


@pytest.mark.parametrize(
    ("horse", "free"),
    [
        ({"bcs": 6}, 6),
        ({"bcs": 6, "coat_mm": 15}, 6),
        ({"bcs": 5.9}, 0),
        ({"bcs": 6, "coat_mm": 14.9}, 0),
        ({"bcs": 6, "clip": Clip.BIB}, 0),
        ({"bcs": 6, "needs": frozenset({Need.OLD})}, 0),
    ],
)
def test_the_first_six_degrees_of_a_hardy_horse_do_not_count(horse: dict[str, Any], free: float):
    bare = named(choose(animal(**horse), stay(-40, 3), []), *())
    assert bare.score == pytest.approx(bare.cold_degree_hours - free, abs=1e-5)
    assert (Code.HARDY in codes(bare)) is (free > 0)
    assert bare.hay_kg_per_day > 0


def test_too_cold_and_too_warm_are_named_by_the_larger_share():
    where = Stay((hour(0, -15, 2), hour(1, 12, 0)))
    advice = choose(animal(2), where, [turnout(400, "T4"), turnout(0, "T0")])
    assert named(advice, "T4").warmth.code is Code.TOO_WARM
    assert named(advice, "T0").warmth.code is Code.TOO_COLD
    assert {named(advice, tag).verdict for tag in ("T4", "T0")} == {Verdict.NO}


@pytest.mark.parametrize(
    ("size_in", "expected"),
    [(75, {Code.SIZE_UNDER}), (77, {Code.SIZE_UNDER}), (78, set()), (80, set()), (81, {Code.SIZE_OVER})],
)
def test_one_size_step_off(size_in: float, expected: set[Code]):
    assert cautions(turnout(size_in=size_in)) == expected
    assert cautions(turnout(size_in=size_in, fit=Fit.FITS)) == set()


def test_a_size_that_nobody_knows_is_said():
    assert cautions(turnout(size_in=None)) == {Code.SIZE_UNKNOWN}
    assert cautions(turnout(), chest_to_tail_in=None) == {Code.SIZE_UNKNOWN}


def test_cut_against_build():
    assert cautions(turnout(cut=Cut.NARROW), build=Build.STOCKY) == {Code.CUT}
    assert cautions(turnout(cut=Cut.NARROW), build=Build.FINE) == set()


def test_an_old_measurement_is_one_caution_however_many_layers():
    advice = choose(animal(measured_days_ago=366), stay(-20, 3), [turnout(), liner()])
    assert [one.code for one in named(advice, "L", "T").cautions] == [Code.MEASURE_OLD]
    assert not caution_codes(named(advice, *()))


def test_rubs_are_a_caution_by_place():
    judged = named(choose(animal(), MILD, [turnout(fit=Fit.RUBS, rubs_where="left shoulder")]), "T")
    assert "left shoulder" in judged.cautions[0].text
    assert cautions(turnout(fit=Fit.RUBS)) == {Code.RUBS_SOMEWHERE}


@pytest.mark.parametrize(
    ("denier", "horse", "place", "expected"),
    [
        (600, {}, Place(), {Code.SHELL}),
        (1200, {}, Place(), set()),
        (600, {"alone": True}, Place(), set()),
        (1200, {}, Place(companions_chew=True), {Code.SHELL}),
        (2100, {}, Place(companions_chew=True), set()),
        (1200, {"habits": frozenset({Habit.CHEWS_OWN})}, Place(), {Code.SHELL}),
        (600, {}, Place(PlaceKind.STALL, companions_chew=True), set()),
        (None, {}, Place(), set()),
    ],
)
def test_company_counts_for_the_shell(denier: int | None, horse: dict[str, Any], place: Place, expected: set[Code]):
    """Whose paddock mates chew needs the strong shell; shells matter at turnout only (common practice, no source)."""
    assert cautions(turnout(denier=denier), stay(-10, 2, place=place), **horse) == expected


def test_particulars_that_are_due():
    assert cautions(turnout(wash_due=True)) == {Code.WASH_DUE}
    assert cautions(turnout(proofing_due=True)) == {Code.PROOFING_DUE}
    assert cautions(turnout(temporary_fix=True)) == {Code.TEMPORARY_FIX}


def test_a_back_seam_marks_a_stable_blanket():
    """Common practice, no source."""
    assert cautions(turnout(back_seam=True)) == {Code.BACK_SEAM}
    assert cautions(stable(back_seam=True), stay(-10, place=STALL)) == set()


@pytest.mark.parametrize(
    ("where", "horse", "expected"),
    [
        (rainy([1.0], 9.9), {"needs": THIN}, {Code.BARE_NEEDS_RAIN}),
        (rainy([1.0], 10.0), {"needs": THIN}, set()),
        (rainy([0.0], 5.0), {"needs": THIN}, set()),
        (rainy([1.0], 5.0, STALL), {"needs": THIN}, set()),
        (rainy([1.0], 5.0), {}, set()),
        (rainy([1.0], 15.0), {"clip": Clip.BIB}, {Code.BARE_CLIPPED_RAIN}),
        (rainy([0.0], 5.0), {"clip": Clip.BIB}, set()),
        (rainy([None], 5.0), {"clip": Clip.BIB}, {Code.BARE_CLIPPED_UNKNOWN}),
        (rainy([1.0], 5.0), {"clip": Clip.BIB, "needs": THIN}, {Code.BARE_CLIPPED_RAIN, Code.BARE_NEEDS_RAIN}),
    ],
)
def test_keep_the_vulnerable_dry(where: Stay, horse: dict[str, Any], expected: set[Code]):
    """Common practice, no source."""
    assert bare_cautions(where, **horse) == expected


def test_unknown_rain_on_a_thin_coat():
    assert bare_cautions(UNKNOWN, coat_mm=19.9) == {Code.RAIN_UNKNOWN}
    assert bare_cautions(UNKNOWN, coat_mm=20) == set()
    assert cautions(turnout(0), UNKNOWN, coat_mm=15) == set()
    assert Code.RAIN_UNKNOWN in cautions(turnout(0, waterproofing=Waterproofing.RESISTANT), UNKNOWN, coat_mm=15)


def test_too_warm_by_noon_is_said_with_the_hour():
    hours = tuple(hour(index, air_c, 2) for index, air_c in enumerate([-12, -8, 3, 4, -6]))
    judged = named(choose(animal(), Stay(hours), [turnout(200)]), "T")
    off = next(reason for reason in judged.cautions if reason.code is Code.OFF_AT)
    over = [time.time for time, warm_c in zip(hours, judged.warm_c, strict=True) if warm_c > 3]
    assert off.params["off_time"] == over[0] == datetime(2026, 1, 10, 20, tzinfo=ZoneInfo("UTC"))
    assert off.params["warm_times"] == tuple(over)
    assert off.text.startswith("Off at 20:00:")
    assert off.say(Voice(ZoneInfo("Europe/Oslo"))).startswith("Off at 21:00:")


def test_too_warm_from_the_start_is_said_so_and_not_to_be_taken_off_at_the_start():
    hours = tuple(hour(index, air_c, 2) for index, air_c in enumerate([4, 3, -12]))
    judged = named(choose(animal(), Stay(hours), [turnout(200)]), "T")
    codes = {reason.code for reason in judged.cautions}
    assert Code.WARM_AT in codes
    assert Code.OFF_AT not in codes
    warm = next(reason for reason in judged.cautions if reason.code is Code.WARM_AT)
    assert warm.params["warm_times"] == tuple(one.time for one in hours[:2])


def test_the_bare_horse_has_nothing_to_take_off():
    assert bare_cautions(stay(19), coat_mm=40) == set()


def test_a_wet_horse_is_dried_first():
    advice = choose(animal(), stay(-5, coat_wet=0.3), [turnout()])
    assert caution_codes(named(advice, "T")) == {Code.TOWEL_FIRST, Code.RUB_DOWN}
    assert caution_codes(named(advice, *())) == {Code.TOWEL_FIRST}
    assert bare_cautions(stay(-5, coat_wet=0.29)) == set()


def test_the_veterinarian_stands_above_the_figures_of_a_horse_with_needs():
    for judged in choose(animal(needs=THIN), MILD, [turnout()]).outfits:
        assert "veterinarian" in next(one for one in judged.reasons if one.code is Code.NEEDS_VET).text


def test_foals_are_outside_the_checks():
    assert Code.FOAL in codes(choose(animal(mass_kg=60, age_years=0.1), MILD, []).chosen)


def test_in_hand_is_asked_of_thin_coats_and_needs_only():
    low_c = float(named(choose(animal(10), stay(-5, 3), [turnout()]), "T").low_c[0])
    at_the_edge = stay(low_c + 0.5, 3)
    assert not named(choose(animal(10), at_the_edge, [turnout()]), "T").in_hand
    assert named(choose(animal(10), stay(low_c + 1.5, 3), [turnout()]), "T").in_hand
    assert named(choose(animal(11), at_the_edge, [turnout()]), "T").in_hand


def test_every_sentence_is_whole_and_says_what_its_figures_are():
    """It starts with a capital or a tag and ends with a full stop."""
    for code, sentence in SENTENCES.items():
        assert sentence.english.endswith("."), code
        assert sentence.english[0].isupper() or sentence.english[0] == "{", code
    assert set(SENTENCES) == set(Code)


def test_cautions_of_wet_and_shivering_horses_name_the_veterinarian():
    """Rub down, then something breathable; if it shivers, call the veterinarian (common practice, no source)."""
    for code in (Code.RUB_DOWN, Code.KEEP_IN, Code.KEEP_IN_NONE_HERE, Code.NEEDS_VET, Code.FOAL):
        assert "veterinarian" in SENTENCES[code].english


def test_figures_in_the_units_of_the_barn():
    reason = because(Code.RIGHT_AT, low_c=-10.0, high_c=5.0, air_c=-0.04)
    assert reason.text == "Comfortable from -10 °C to 5 °C, and the air is at 0 °C."
    assert reason.say(Voice(us_units=True)) == "Comfortable from 14 °F to 41 °F, and the air is at 32 °F."
    assert because(Code.COLD, by_deg=5.0, cold_hours=1, hours=2, hay_kg=1.0).say(Voice(us_units=True)) == (
        "Cold by up to 9 °F in 1 of 2 hours; about 2.2 lb more hay a day makes up for it."
    )
    assert because(Code.REFUSED_SMALL, tag="T", by_in=4.0, size_in=74.0, measure_in=78.0).text == (
        "T is too small by 4 in: size 74 in, and this horse measures 78 in."
    )
    assert "old, thin and young" in because(Code.NEEDS_VET, needs_words=("old", "thin", "young")).text
    assert "cooler C1 or C2 first" in because(Code.COOL_FIRST, coolers_either=("C1", "C2")).text
    assert "2 mm" in because(Code.REFUSED_RAIN, tag="T", rain_mm=2.0).text


def test_levels_come_in_order():
    judged = named(choose(animal(needs=THIN), rainy([3.0]), [stable(wash_due=True)]), "S")
    levels = [reason.level for reason in judged.reasons]
    assert levels == sorted(levels, key=[Level.REFUSAL, Level.WARMTH, Level.CAUTION, Level.NOTE].index)
    assert set(levels) == set(Level)
