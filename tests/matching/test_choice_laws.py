"""Laws of choosing, tried on drawn horses, stays and wardrobes."""

import json

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from barnrugs.matching.case import answer
from barnrugs.matching.choose import Advice, Request, choose
from barnrugs.matching.outfit import NEVER_ALONE, Blanket, Outfit
from barnrugs.matching.reasons import Level, Voice
from barnrugs.matching.refusals import SOAKED_FROM
from barnrugs.matching.weather import outdoor, precipitation_expected
from barnrugs.matching.words import Kind, State, Verdict, Waterproofing
from tests.matching.choice_builders import blankets, horses, pieces, requests, stays
from tests.matching.examples import examples

NEVER_ADVISED = {Kind.COOLER, Kind.FLY_SHEET, Kind.DRESS_SHEET, Kind.EXERCISE_SHEET}
THE_LAW = settings(max_examples=examples(10_000))
EVERY_LAW = settings(max_examples=examples(3_000))


def advised(request: Request) -> Advice:
    return choose(request.horse, request.stay, request.blankets)


def seen(advice: Advice) -> str:
    """All that a script sees of an answer."""
    return json.dumps(answer(advice), allow_nan=False)


@THE_LAW
@given(requests)
def test_nothing_refused_is_ever_chosen(request: Request):
    """By the refusals' own words, not by the table."""
    advice = advised(request)
    chosen, horse = advice.chosen, request.horse
    assert chosen.refused is None
    for piece in pieces(chosen.outfit):
        assert piece.state is State.READY or (piece.state is State.ON_HORSE and piece.tag in horse.on_now)
        assert piece.soak < SOAKED_FROM
        assert piece.allowed
        assert piece.kind not in NEVER_ADVISED
        assert piece.fit not in {"tight", "too_big"}
        assert not (piece.front == "closed" and "head_shy" in horse.habits)
        assert not (horse.sweating and (piece.fill_g or piece.waterproofing is Waterproofing.WATERPROOF))
        assert piece.breathable or request.stay.coat_wet < 0.3
        measured = None not in (piece.size_in, horse.chest_to_tail_in) and piece.kind is not Kind.NECK_COVER
        if measured and piece.fit != "fits":
            assert abs(piece.size_in - horse.chest_to_tail_in) <= 3


@EVERY_LAW
@given(requests)
def test_nothing_leaky_goes_out_in_the_rain(request: Request):
    chosen = advised(request).chosen
    expected, unknown = precipitation_expected(request.stay)
    if chosen.outfit.outer and outdoor(request.stay).any() and (expected or unknown):
        assert chosen.outfit.outer.kind is not Kind.STABLE
        leaky = chosen.outfit.outer.waterproofing
        assert leaky is Waterproofing.WATERPROOF or (leaky is Waterproofing.RESISTANT and not unknown)


@THE_LAW
@given(horses, stays(st.floats(20.01, 40), precip_mm=st.just(0.0)), blankets())
def test_dry_above_20_degrees_nothing_is_advised_to_an_adult(horse, stay, wardrobe):
    """Mejdell et al. 2019, Appl Anim Behav Sci 212:52 (R)."""
    assume(horse.age_years >= 0.5 and stay.coat_wet < 0.3)
    assume(all(hour.air_c <= 40 for hour in stay.hours))
    assert choose(horse, stay, wardrobe).chosen.tags == ()


@EVERY_LAW
@given(requests)
def test_every_outfit_has_its_reasons_and_one_of_them_says_how_warm(request: Request):
    advice = advised(request)
    for judged in advice.outfits:
        levels = [reason.level for reason in judged.reasons]
        assert levels.count(Level.WARMTH) == 1
        assert (Level.REFUSAL in levels) is (judged.refused is not None)
        for reason in judged.reasons:
            assert whole_sentence(reason.text)
            assert whole_sentence(reason.say(Voice(us_units=True)))
        if judged.verdict is Verdict.WEAR:
            assert not judged.cautions
    for left in advice.left_out:
        assert whole_sentence(left.reason.text)


def whole_sentence(text: str) -> bool:
    return text.endswith(".") and "{" not in text and "None" not in text and "nan" not in text


@EVERY_LAW
@given(requests, st.randoms(use_true_random=False))
def test_same_input_same_answer_whatever_the_order_of_the_blankets(request: Request, random):
    shuffled = list(request.blankets)
    random.shuffle(shuffled)
    answers = {seen(choose(request.horse, request.stay, one)) for one in (request.blankets, request.blankets, shuffled)}
    assert len(answers) == 1


@EVERY_LAW
@given(requests)
def test_bands_are_bands_and_the_bare_horse_is_always_there(request: Request):
    advice = advised(request)
    assert [one.tags for one in advice.outfits].count(()) == 1
    for judged in advice.outfits:
        assert (judged.low_c <= judged.high_c).all()
        assert len(judged.positions) == len(request.stay.hours)
        assert judged.score >= 0
    worn = [(one.tags, one.neck) for one in advice.outfits]
    assert len(worn) == len(set(worn))


@EVERY_LAW
@given(requests)
def test_every_blanket_gets_its_answer(request: Request):
    """It is in an outfit, or left out with its reason; or, worn only with others, one that is alike stands for it."""
    advice = advised(request)
    offered = {piece.tag for one in advice.outfits if one.refused is None for piece in pieces(one.outfit)}
    alone = {one.tags[0] for one in advice.outfits if len(one.tags) == 1}
    left_out = {left.blanket.tag for left in advice.left_out}
    assert not offered & left_out
    in_an_outfit = {piece.tag for one in advice.outfits for piece in pieces(one.outfit)}
    assert in_an_outfit - offered <= left_out
    for blanket in request.blankets:
        assert (blanket.tag in alone) is (blanket.kind not in NEVER_ALONE)
        if blanket.tag not in in_an_outfit | left_out:
            assert any(stands_for(one.outfit, blanket) for one in advice.outfits)


def stands_for(outfit: Outfit, blanket: Blanket) -> bool:
    """Whether an outfit has another piece where this one would be worn: on the neck, or under an outer one."""
    if blanket.kind is Kind.NECK_COVER:
        return outfit.neck_cover is not None
    return len(outfit.layers) > 1


@EVERY_LAW
@given(requests)
def test_a_wet_or_sweating_horse_is_never_simply_dressed(request: Request):
    advice = advised(request)
    if request.horse.sweating or request.stay.coat_wet >= 0.3:
        assert all(one.verdict is not Verdict.WEAR for one in advice.outfits)
        assert all(cooler.kind is Kind.COOLER and cooler.allowed for cooler in advice.first)
    else:
        assert advice.first == ()
