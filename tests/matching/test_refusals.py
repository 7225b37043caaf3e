"""The table of refusals: complete, and each row with an effect."""

from itertools import product
from typing import Any

import pytest

from barnrugs.matching.choose import Request, choose, choose_herd
from barnrugs.matching.fit import Size
from barnrugs.matching.horse import NOTHING_AT_ALL, WornThen
from barnrugs.matching.outfit import Blanket
from barnrugs.matching.reasons import SENTENCES, Code, Level
from barnrugs.matching.refusals import TABLE, WORDS, Sky, Subject, situation
from barnrugs.matching.weather import Stay
from barnrugs.matching.words import (
    Fit,
    Front,
    Habit,
    Kind,
    Neck,
    PlaceKind,
    PrecipKind,
    Refusal,
    State,
    Verdict,
    Waterproofing,
)
from tests.matching.choice_builders import animal, caution_codes, liner, made, named, stable, turnout
from tests.matching.weather_builders import SHED, STALL, rainy, stay

COLD_DRY = stay(-5, 2)
WET = rainy([1.0, 1.0, 0.0])
LIGHT = rainy([0.0, 1.9, 0.0])
UNKNOWN = rainy([0.0, None, 0.0])


def rows(subject: Subject) -> set[Any]:
    return {case[1] if len(case) == 2 else case[1:] for case in TABLE if case[0] is subject}


def test_every_case_has_its_row():
    assert rows(Subject.STATE) == set(State)
    assert rows(Subject.KIND) == set(Kind)
    assert rows(Subject.OUTERMOST) == set(product(Sky, Waterproofing))
    assert rows(Subject.STABLE_OUTERMOST) == set(Sky)
    assert rows(Subject.SIZE) == set(Size)
    assert rows(Subject.TRIED) == {None, *Fit}
    assert rows(Subject.FRONT_HEAD_SHY) == set(product(Front, (False, True)))
    assert {case[0] for case in TABLE} == set(Subject)


def test_every_refusing_row_has_a_word_and_every_word_a_row():
    refusing = {code for code in TABLE.values() if code and SENTENCES[code].level is Level.REFUSAL}
    assert refusing == set(WORDS)
    assert {code for code in Code if SENTENCES[code].level is Level.REFUSAL} == refusing
    assert set(WORDS.values()) == set(Refusal)


def test_no_row_says_anything_but_a_refusal_or_a_caution():
    assert {SENTENCES[code].level for code in TABLE.values() if code} == {Level.REFUSAL, Level.CAUTION}


def refusal(blanket: Blanket, where: Stay = COLD_DRY, **horse: Any) -> Refusal | None:
    return named(choose(animal(**horse), where, [blanket]), blanket.tag).refused


@pytest.mark.parametrize("state", State)
def test_only_a_ready_blanket_is_offered(state: State):
    assert (refusal(turnout(state=state)) is None) is (state is State.READY)


def test_what_the_horse_wears_is_its_own_to_wear():
    assert refusal(turnout(state=State.ON_HORSE), on_now=("T",)) is None
    assert refusal(turnout(state=State.ON_HORSE), on_now=("X",)) is Refusal.ON_ANOTHER
    assert refusal(turnout(state=State.DO_NOT_USE), on_now=("T",)) is Refusal.DO_NOT_USE


@pytest.mark.parametrize(("soak", "refused"), [(0.19, None), (0.2, Refusal.SOAKED), (1.0, Refusal.SOAKED)])
def test_a_soaked_blanket_comes_off(soak: float, refused: Refusal | None):
    assert refusal(turnout(soak=soak, state=State.ON_HORSE), on_now=("T",)) is refused


def test_a_dry_layer_over_a_wet_one_is_never_offered():
    """Never a dry one over a wet one (common practice, no source)."""
    advice = choose(animal(), COLD_DRY, [liner(soak=0.5), stable(soak=0.9), turnout()])
    assert {one.tags for one in advice.outfits if one.refused is None} == {(), ("T",)}
    assert {left.blanket.tag: left.refused for left in advice.left_out} == {"L": Refusal.SOAKED, "S": Refusal.SOAKED}


def test_anothers_without_leave_is_not_offered():
    assert refusal(turnout(allowed=False)) is Refusal.NOT_ALLOWED


@pytest.mark.parametrize("kind", Kind)
def test_kinds_that_weather_never_asks_for(kind: Kind):
    never = {Kind.COOLER, Kind.EXERCISE_SHEET, Kind.DRESS_SHEET, Kind.FLY_SHEET}
    left_out = choose(animal(), COLD_DRY, [made("B", kind), turnout()]).left_out
    assert [left.refused for left in left_out] == ([Refusal.KIND] if kind in never else [])


@pytest.mark.parametrize(
    ("where", "cloth", "refused"),
    [
        (COLD_DRY, Waterproofing.NONE, None),
        (LIGHT, Waterproofing.NONE, Refusal.RAIN),
        (LIGHT, Waterproofing.RESISTANT, None),
        (LIGHT, Waterproofing.WATERPROOF, None),
        (WET, Waterproofing.NONE, Refusal.RAIN),
        (WET, Waterproofing.RESISTANT, Refusal.RAIN),
        (WET, Waterproofing.WATERPROOF, None),
        (UNKNOWN, Waterproofing.NONE, Refusal.RAIN),
        (UNKNOWN, Waterproofing.RESISTANT, Refusal.RAIN),
        (UNKNOWN, Waterproofing.WATERPROOF, None),
        (rainy([2.0], place=STALL), Waterproofing.NONE, None),
        (rainy([None], place=STALL), Waterproofing.NONE, None),
    ],
)
def test_what_may_go_out(where: Stay, cloth: Waterproofing, refused: Refusal | None):
    assert refusal(made("B", Kind.SHEET, waterproofing=cloth), where) is refused


def test_water_resistant_serves_light_rain_with_a_caution():
    advice = choose(animal(), LIGHT, [turnout(waterproofing=Waterproofing.RESISTANT)])
    assert Code.RESISTANT_LIGHT_RAIN in caution_codes(named(advice, "T"))


def test_the_two_millimetres_are_of_the_stay_and_no_shed_halves_them():
    shed = rainy([1.0, 1.0], place=SHED)
    assert refusal(turnout(waterproofing=Waterproofing.RESISTANT), shed) is Refusal.RAIN


def test_snow_is_precipitation():
    snow = stay(-5, 2, precip_mm=0.5, precip_kind=PrecipKind.SNOW)
    assert refusal(made("B", Kind.SHEET), snow) is Refusal.RAIN


def test_drizzle_adds_up_to_expected():
    assert refusal(made("B", Kind.SHEET), rainy([0.1] * 4)) is None
    assert refusal(made("B", Kind.SHEET), rainy([0.1] * 5)) is Refusal.RAIN


def test_a_small_chance_of_rain_does_not_count():
    assert refusal(made("B", Kind.SHEET), stay(0, 2, precip_mm=3.0, precip_chance=0.29)) is None
    assert refusal(made("B", Kind.SHEET), stay(0, 2, precip_mm=3.0, precip_chance=0.30)) is Refusal.RAIN


def test_rain_while_the_horse_is_in_does_not_count():
    wet_night = rainy([0.0, 5.0])
    hours = (wet_night.hours[0], stay(5, place=STALL).hours[0].__class__(**_with_place(wet_night, 1)))
    assert situation(animal(), Stay(hours)).sky is Sky.DRY


def _with_place(of: Stay, index: int) -> dict[str, Any]:
    hour = of.hours[index]
    names = ("time", "air_c", "wind_10m_ms", "rh", "precip_mm")
    return {**{name: getattr(hour, name) for name in names}, "place": STALL}


@pytest.mark.parametrize("cloth", Waterproofing)
def test_a_stable_blanket_never_goes_out_in_the_wet(cloth: Waterproofing):
    """Whatever its shell is called; outdoors in the dry only with a caution (common practice, no source)."""
    for wet in (LIGHT, WET, UNKNOWN):
        assert refusal(stable(waterproofing=cloth), wet) is Refusal.STABLE_IN_WET
    dry = named(choose(animal(), COLD_DRY, [stable(waterproofing=cloth)]), "S")
    assert dry.refused is None
    assert Code.STABLE_OUTDOORS in caution_codes(dry)
    indoors = named(choose(animal(), stay(-5, place=STALL), [stable(waterproofing=cloth)]), "S")
    assert indoors.refused is None
    assert not indoors.cautions


def test_a_turnout_serves_in_both_places():
    """Common practice, no source."""
    for where in (stay(-12, 2), stay(-20, place=STALL)):
        assert refusal(turnout(), where) is None


@pytest.mark.parametrize(("note", "refused"), [(Fit.TIGHT, Refusal.TIGHT), (Fit.TOO_BIG, Refusal.TOO_BIG)])
def test_what_was_tried_and_does_not_fit(note: Fit, refused: Refusal):
    assert refusal(turnout(fit=note)) is refused


@pytest.mark.parametrize("size_in", [70, 90])
def test_what_was_tried_and_fits_beats_arithmetic(size_in: float):
    assert refusal(turnout(size_in=size_in)) in {Refusal.TIGHT, Refusal.TOO_BIG}
    assert refusal(turnout(size_in=size_in, fit=Fit.FITS)) is None
    assert refusal(turnout(size_in=size_in, fit=Fit.RUBS)) in {Refusal.TIGHT, Refusal.TOO_BIG}


@pytest.mark.parametrize("front", Front)
def test_nothing_over_the_head_of_a_head_shy_horse(front: Front):
    shy = refusal(turnout(front=front), habits=frozenset({Habit.HEAD_SHY}))
    assert shy is (Refusal.OVER_HEAD if front is Front.CLOSED else None)
    assert refusal(turnout(front=front)) is None


@pytest.mark.parametrize(
    ("blanket", "refused"),
    [
        (made("B", Kind.SHEET), None),
        (made("B", Kind.RAIN_SHEET), Refusal.SWEATING),
        (stable(50, "B"), Refusal.SWEATING),
        (turnout(200, "B"), Refusal.SWEATING),
    ],
)
def test_nothing_filled_or_waterproof_on_a_sweating_horse(blanket: Blanket, refused: Refusal | None):
    """Cool out first (common practice, no source)."""
    assert refusal(blanket, stay(0, place=STALL), sweating=True) is refused


@pytest.mark.parametrize(
    ("felt", "tags", "refused"),
    [
        (WornThen(200, 1), ("T",), None),
        (WornThen(100, 1), ("T",), Refusal.FELT_WARM),
        (WornThen(200, 1), ("L", "T"), Refusal.FELT_WARM),
        (WornThen(300, 2), ("L", "T"), None),
        (WornThen(200, 1), ("N",), Refusal.FELT_WARM),
        (WornThen(200, 1, neck=True), ("N",), None),
        (WornThen(0, 0), ("R",), Refusal.FELT_WARM),
        (NOTHING_AT_ALL, ("H",), Refusal.FELT_WARM),
        (NOTHING_AT_ALL, (), None),
    ],
)
def test_nothing_warmer_than_what_a_hand_felt_to_be_too_warm(felt, tags, refused):
    """More fill, as much in more layers, or a neck on."""
    blankets = [turnout(200, "T"), turnout(200, "N", neck=Neck.FIXED), made("L", Kind.LINER, 100)]
    blankets += [made("R", Kind.RAIN_SHEET), made("H", Kind.SHEET)]
    advice = choose_herd([Request(animal(felt_warm=felt), COLD_DRY, blankets, (tags,) if tags else ())])[0]
    assert next(one for one in advice.outfits if one.tags == tags).refused is refused
    assert advice.keep_in is None


def test_warm_does_not_hide_that_nothing_may_go_out():
    """What speaks against every blanket is the rain, not the hand: the horse is kept in all the same."""
    felt, rain = WornThen(0, 0), stay(-5, 8, hours=6, precip_mm=2.0)
    assert choose(animal(felt_warm=felt), rain, [stable(200, "S")]).keep_in.code is Code.KEEP_IN
    assert choose(animal(), rain, [stable(200, "S")]).keep_in.code is Code.KEEP_IN
    assert choose(animal(felt_warm=felt), rain, [stable(200, "S"), turnout(200, "T")]).keep_in is None


@pytest.mark.parametrize(("wet", "breathable", "refused"), [(0.29, False, None), (0.3, True, None)])
def test_wet_horses_may_wear_what_breathes(wet: float, breathable: bool, refused: Refusal | None):
    assert refusal(turnout(breathable=breathable), stay(0, coat_wet=wet)) is refused


def test_wet_horses_never_wear_what_does_not_breathe():
    assert refusal(turnout(breathable=False), stay(0, coat_wet=0.3)) is Refusal.NOT_BREATHABLE
    assert refusal(turnout(breathable=False), stay(0, coat_wet_under=0.3)) is Refusal.NOT_BREATHABLE


def test_a_refused_outfit_still_carries_its_band():
    judged = named(choose(animal(), COLD_DRY, [turnout(state=State.LOST)]), "T")
    assert judged.low_c[0] < judged.high_c[0]
    assert judged.verdict == "no"
    assert judged.reasons[0].code is Code.REFUSED_LOST


def test_places_are_turnout_or_stall():
    """A new kind of place needs its weather cases looked at."""
    assert set(PlaceKind) == {PlaceKind.TURNOUT, PlaceKind.STALL}


@pytest.mark.parametrize(
    ("felt", "lighter", "no_more"),
    [
        (WornThen(200, 1), {(), ("S",)}, {(), ("S",), ("T",)}),
        (WornThen(0, 0), set(), {()}),
        (None, set(), set()),
    ],
)
def test_felt_cold_nothing_lighter_is_right_and_what_it_wore_is_no_longer_simply_right(felt, lighter, no_more):
    blankets = [turnout(200, "T"), turnout(0, "S"), turnout(400, "H")]
    at = stay(8, 1)
    advice = choose(animal(felt_cold=felt), at, blankets)
    plain = {one.tags: one for one in choose(animal(), at, blankets).outfits}
    judged = {one.tags: one for one in advice.outfits if one.refused is None}
    assert {tags for tags, one in judged.items() if one.lighter_than_felt} == lighter
    assert all(judged[tags].verdict is Verdict.NO for tags in lighter)
    said = {tags for tags, one in judged.items() if Code.FELT_COLD in {reason.code for reason in one.reasons}}
    assert said == no_more
    if felt and felt.fill_g:
        assert plain[()].score < plain[("T",)].score
        assert advice.chosen.outfit.fill_g >= felt.fill_g


def test_felt_warm_what_it_wore_is_not_simply_right_any_more():
    advice = choose(animal(felt_warm=WornThen(200, 1)), COLD_DRY, [turnout(200, "T"), turnout(100, "L")])
    said = {one.tags for one in advice.outfits if Code.FELT_WARM in {reason.code for reason in one.reasons}}
    assert said == {("T",)}
    assert named(advice, "T").verdict is not Verdict.WEAR
