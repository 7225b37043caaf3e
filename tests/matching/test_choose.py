"""The ranked answer for one horse."""

from typing import Any

import pytest

from barnrugs.matching.choose import Advice, Request, choose, choose_herd, no_answer
from barnrugs.matching.heat import NoAnswer
from barnrugs.matching.judge import rank
from barnrugs.matching.outfit import Blanket
from barnrugs.matching.reasons import Code
from barnrugs.matching.weather import Stay
from barnrugs.matching.words import Clip, Fit, Kind, Lining, Neck, Need, Refusal, State, Verdict, Waterproofing
from tests.matching.choice_builders import animal, caution_codes, codes, liner, made, named, stable, turnout
from tests.matching.weather_builders import STALL, hour, rainy, stay

COLD = stay(-15, 2)


def chosen(where: Stay, *blankets: Blanket, **horse: Any) -> tuple[str, ...]:
    return choose(animal(**horse), where, blankets).chosen.tags


def test_a_refused_outfit_never_stands_before_one_that_is_not():
    advice = choose(animal(2), stay(-25, 5), [turnout(400, state=State.LOST)])
    assert [one.tags for one in advice.outfits] == [(), ("T",)]
    assert advice.chosen.verdict is Verdict.NO


def test_warmth_goes_before_cautions():
    assert chosen(COLD, turnout(0, "T0"), turnout(200, "T2", wash_due=True, temporary_fix=True), coat_mm=2) == ("T2",)


def test_fewer_cautions_go_before_the_rest():
    assert chosen(COLD, turnout(200, "A", wash_due=True), turnout(200, "B")) == ("B",)


def test_a_horse_that_needs_it_has_some_in_hand():
    """A clipped horse at the very edge of its band gets the next warmer one."""
    edge_c = float(named(choose(animal(2, clip=Clip.FULL), stay(0, 2), [turnout(200)]), "T").low_c[0]) + 0.3
    wardrobe = [turnout(200, "T2"), turnout(250, "T25")]
    assert chosen(stay(edge_c, 2), *wardrobe, coat_mm=2, clip=Clip.FULL) == ("T25",)
    assert chosen(stay(edge_c + 1.5, 2), *wardrobe, coat_mm=2, clip=Clip.FULL) == ("T2",)


def test_liner_by_preference():
    """Nylon lies smooth and is the popular one; fleece and felt by preference (common practice, no source)."""
    wardrobe = [turnout(100, "A", liner=Lining.NYLON), turnout(200, "B", liner=Lining.FLEECE)]
    assert chosen(COLD, *wardrobe, liner=Lining.FLEECE) == ("B",)
    assert chosen(COLD, *wardrobe, liner=Lining.NYLON) == ("A",)
    assert chosen(COLD, *wardrobe) == ("A",)


def test_no_change_is_the_cheapest_change():
    wardrobe = [turnout(200, "A"), turnout(250, "B", state=State.ON_HORSE)]
    assert chosen(COLD, *wardrobe, on_now=("B",)) == ("B",)
    assert chosen(COLD, *wardrobe) == ("A",)


def test_fewer_layers_before_less_fill():
    assert chosen(stay(-12, 2), turnout(50, "A"), liner(150), turnout(200, "C"), coat_mm=15) == ("C",)


def test_less_fill():
    assert chosen(COLD, turnout(300, "A"), turnout(250, "B")) == ("B",)


def test_in_a_stall_a_stable_blanket_before_a_turnout():
    assert chosen(stay(-12, place=STALL), turnout(200, "A"), stable(200, "B"), coat_mm=15) == ("B",)


def test_neck_off_before_on():
    advice = choose(animal(), COLD, [turnout(200, neck=Neck.REMOVABLE)])
    assert [(one.tags, one.neck) for one in advice.outfits][:2] == [(("T",), False), (("T",), True)]


def test_the_tag_settles_the_rest():
    assert chosen(COLD, turnout(200, "B"), turnout(200, "A")) == ("A",)


def test_ranks_rise():
    wardrobe = [turnout(fill, f"T{fill}") for fill in (0, 100, 200, 300)] + [liner(), stable()]
    outfits = choose(animal(), COLD, wardrobe).outfits
    ranks = [rank(one, in_stall=False) for one in outfits]
    assert ranks == sorted(ranks)
    assert len(set(ranks)) == len(ranks)


@pytest.mark.parametrize("kind", [Kind.TURNOUT, Kind.RAIN_SHEET, Kind.SHEET, Kind.STABLE])
def test_13_above_20_degrees_dry_nothing(kind: Kind):
    """Mejdell et al. 2019, Appl Anim Behav Sci 212:52 (R): above 20 degC no horse wanted a blanket."""
    advice = choose(animal(2, clip=Clip.FULL, needs=frozenset({Need.THIN})), stay(20.1, 14), [made("B", kind)])
    assert advice.chosen.tags == ()
    assert named(advice, "B").refused is Refusal.WARM_DAY
    assert Code.WARM_DAY in codes(advice.chosen)
    assert advice.keep_in is None


def test_15_above_10_degrees_most_horses_want_it_off():
    """Mejdell et al. 2019 (R): turnout, 12 degC, 3 m/s, dry, 15 mm of coat: 200 g is not the advice."""
    assert chosen(stay(12, 3), turnout(200), coat_mm=15) == ()


def test_12_in_cold_wet_wind_horses_want_a_waterproof_sheet():
    """Mejdell et al. 2016, Appl Anim Behav Sci (Q): 9 degC, 6 m/s, wet: 20 of 22 horses want one."""
    where = stay(9, 6, rh=0.95, precip_mm=1.0, hours=6)
    assert chosen(where, turnout(0, "T0"), turnout(300, "T3"), coat_mm=15) == ("T0",)


@pytest.mark.parametrize("coat_mm", [2, 8, 12, 26])
def test_14_a_stable_blanket_is_never_the_answer_to_six_hours_of_rain(coat_mm: float):
    """4 degC, 5 m/s, six hours of 2 mm: a soaked stable blanket is worth little (common practice)."""
    where = stay(4, 5, rh=0.95, precip_mm=2.0, hours=6)
    wardrobe = [stable(fill, f"S{fill}") for fill in (0, 100, 200)]
    advice = choose(animal(coat_mm), where, wardrobe)
    assert {one.refused for one in advice.outfits if one.tags} == {Refusal.STABLE_IN_WET}
    assert advice.chosen.tags == ()
    best = choose(animal(coat_mm), where, [*wardrobe, turnout(100)]).chosen
    assert best.tags in {("T",), ("S100", "T"), ("S200", "T")}


@pytest.mark.parametrize(
    ("where", "age"),
    [(stay(20.0), 9), (stay(21, precip_mm=1.0), 9), (stay(21, precip_mm=None), 9), (stay(21, coat_wet=0.3), 9)],
)
def test_the_rule_above_20_degrees_ends_where_it_ends(where: Stay, age: float):
    advice = choose(animal(age_years=age), where, [turnout(0)])
    assert named(advice, "T").refused is not Refusal.WARM_DAY


def test_the_rule_above_20_degrees_is_not_for_foals():
    advice = choose(animal(mass_kg=60, age_years=0.49), stay(21), [turnout(0)])
    assert named(advice, "T").refused is None


def test_every_hour_must_be_above_20_degrees():
    where = Stay((hour(0, 25), hour(1, 19)))
    assert named(choose(animal(), where, [turnout(0)]), "T").refused is None


def test_a_sweating_horse_gets_its_cooler_first():
    """Cool out first (common practice, no source)."""
    advice = choose(
        animal(sweating=True), stay(5, place=STALL), [made("C", Kind.COOLER), stable(), made("H", Kind.SHEET)]
    )
    assert [cooler.tag for cooler in advice.first] == ["C"]
    assert {one.verdict for one in advice.outfits} <= {Verdict.CAUTION, Verdict.NO}
    assert "cooler C first" in next(one for one in advice.chosen.cautions if one.code is Code.COOL_FIRST).text


@pytest.mark.parametrize(
    "cooler",
    [
        made("C", Kind.COOLER, state=State.DRYING),
        made("C", Kind.COOLER, allowed=False),
        made("C", Kind.COOLER, size_in=60),
        made("C", Kind.COOLER, fit=Fit.TIGHT),
        made("C", Kind.COOLER, breathable=False),
        made("C", Kind.FLY_SHEET),
    ],
)
def test_a_cooler_that_is_refused_is_not_offered_first(cooler: Blanket):
    advice = choose(animal(), stay(5, coat_wet=0.5), [cooler])
    assert advice.first == ()
    assert Code.TOWEL_FIRST in caution_codes(advice.chosen)


def test_a_dry_calm_horse_needs_no_cooler():
    assert choose(animal(), stay(5), [made("C", Kind.COOLER)]).first == ()


def test_all_refused_is_never_a_plain_nothing():
    advice = choose(animal(2, clip=Clip.FULL), stay(-10, 5), [turnout(state=State.DRYING), stable(state=State.AWAY)])
    assert advice.chosen.tags == ()
    assert advice.keep_in is not None
    assert advice.chosen.reasons[0] == advice.keep_in
    assert advice.keep_in.text.startswith("Keep it in, out of wind and wet: of 2 blankets here none may be worn")
    assert "veterinarian" in advice.keep_in.text


def test_no_blanket_at_all_and_the_bare_horse_is_cold():
    advice = choose(animal(2, clip=Clip.FULL), stay(-10, 5), [])
    assert advice.keep_in is not None
    assert "there is no blanket here for it" in advice.keep_in.text


def test_all_refused_and_bare_is_right():
    advice = choose(animal(), stay(5, 1), [turnout(state=State.DRYING)])
    assert advice.keep_in is None
    assert advice.chosen.reasons[0].code is Code.BARE_WILL_DO


def test_a_clipped_horse_with_nothing_dry_to_wear_stays_in_when_rain_comes():
    advice = choose(animal(26, clip=Clip.BIB), rainy([0.5], 15.0), [stable()])
    assert advice.keep_in is not None


def test_left_out_is_every_blanket_that_cannot_be_offered():
    rain = rainy([3.0])
    advice = choose(animal(), rain, [liner(state=State.LENT), stable(), turnout(), made("C", Kind.COOLER)])
    assert {left.blanket.tag: left.refused for left in advice.left_out} == {"L": Refusal.LENT, "C": Refusal.KIND}
    assert named(advice, "S").refused is Refusal.STABLE_IN_WET
    assert named(advice, "S", "T").refused is None


@pytest.mark.parametrize(
    ("others", "refused"),
    [
        ([], Refusal.NOTHING_OVER),
        ([turnout(state=State.LENT)], Refusal.NOTHING_OVER),
        ([turnout(800)], Refusal.NOTHING_OVER),
        ([turnout()], None),
    ],
)
def test_a_liner_that_nothing_here_carries_is_left_out_with_its_reason(others: list[Blanket], refused: Refusal | None):
    """At most 800 g in all (the model's limit)."""
    left = {one.blanket.tag: one for one in choose(animal(), COLD, [liner(), *others]).left_out}
    assert ("L" in left) is (refused is not None)
    if refused:
        assert left["L"].refused is refused
        assert "none that may be worn here goes with it" in left["L"].reason.text


def test_a_neck_cover_without_a_blanket_to_go_with_is_left_out_with_its_reason():
    cover = made("N", Kind.NECK_COVER)
    assert [one.refused for one in choose(animal(), COLD, [cover]).left_out] == [Refusal.NOTHING_OVER]
    assert choose(animal(), COLD, [cover, turnout()]).left_out == ()


def test_what_may_only_lie_under_and_finds_nothing_over_it_says_why_not_alone():
    left = choose(animal(), rainy([3.0]), [stable()]).left_out
    assert [(one.blanket.tag, one.refused) for one in left] == [("S", Refusal.STABLE_IN_WET)]


def test_a_resistant_liner_of_rain_cloth_does_not_make_the_outer_waterproof():
    cloth = stable(100, waterproofing=Waterproofing.RESISTANT)
    advice = choose(animal(), rainy([3.0]), [cloth, made("H", Kind.SHEET)])
    assert {one.tags for one in advice.outfits if not one.refused} == {()}


def test_a_whole_barn_gets_what_each_horse_gets():
    wardrobe = [turnout(fill, f"T{fill}") for fill in (0, 100, 200, 300)] + [liner()]
    asked = [
        Request(animal(coat), where, wardrobe)
        for coat in (2, 15, 26)
        for where in (COLD, stay(0, 5, hours=3), rainy([1.0] * 3))
    ]
    assert [brief(one) for one in choose_herd(asked)] == [
        brief(choose(one.horse, one.stay, one.blankets)) for one in asked
    ]
    assert choose_herd([]) == []


def brief(advice: Advice) -> list[tuple[Any, ...]]:
    return [(one.tags, one.neck, one.verdict, round(one.score, 9)) for one in advice.outfits]


@pytest.mark.parametrize(
    ("request_", "path"),
    [
        (Request(animal(mass_kg=20), COLD), "horse.mass_kg"),
        (Request(animal(), Stay(())), "hours"),
        (Request(animal(), stay(-50)), "hours[0].air_c"),
        (Request(animal(), Stay((hour(0), hour(2)))), "hours[1].time"),
    ],
)
def test_outside_the_limits_there_is_no_answer_and_a_reason(request_: Request, path: str):
    why = no_answer(request_)
    assert why is not None
    assert why.path == path
    with pytest.raises(NoAnswer):
        choose_herd([Request(animal(), COLD), request_])
    assert no_answer(Request(animal(), COLD)) is None
