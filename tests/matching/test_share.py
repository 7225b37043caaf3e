"""The whole barn: no blanket twice, the least sum, and who goes short."""

from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from barnrugs.matching.choose import Advice, Request, choose, choose_herd
from barnrugs.matching.judge import half_up
from barnrugs.matching.outfit import Blanket
from barnrugs.matching.share import Shared, cost, share
from barnrugs.matching.weather import Stay
from barnrugs.matching.words import Clip, Kind, State
from tests.matching.choice_builders import animal, blankets, horses, liner, made, stays, turnout
from tests.matching.examples import examples
from tests.matching.weather_builders import stay

COLD = stay(-15, 3)
MILD = stay(0, 3)


def barn(*horses: dict[str, Any], blankets: list[Blanket], where: Stay = COLD) -> dict[str, Advice]:
    asked = [Request(animal(**one), where, blankets) for one in horses]
    return dict(zip("ABCDEFGH", choose_herd(asked), strict=False))


def given_tags(shared: Shared) -> dict[str, tuple[str, ...]]:
    return {name: one.tags for name, one in shared.outfits.items()}


def least_cost(advice: dict[str, Advice]) -> float:
    """By brute force over every combination that uses no blanket twice."""
    offered = [[one for one in of.outfits if one.refused is None] for of in advice.values()]
    sums = []
    for combination in product(*offered):
        tags = [tag for one in combination for tag in one.tags]
        if len(tags) == len(set(tags)):
            sums.append(sum(cost(one) for one in combination))
    return min(sums)


def test_what_an_outfit_costs():
    judged = choose(animal(2), MILD, [turnout(200, wash_due=True, mine=False)]).outfits
    worn, bare = (next(one for one in judged if one.tags == tags) for tags in (("T",), ()))
    assert worn.score <= 4 < bare.score
    assert not worn.in_hand
    assert cost(worn) == pytest.approx(10 * half_up(worn.score) + 1 + 0.5 + 0.25 + 0.06 + 0.015 + 0.002)
    assert cost(bare) == pytest.approx(1000 + 10 * half_up(bare.score) + 0.25)


@pytest.mark.parametrize("coat_mm", [2, 8, 15, 26])
@pytest.mark.parametrize("where", [COLD, MILD])
def test_what_nobody_else_wants_is_shared_as_the_horse_would_choose_alone(coat_mm, where):
    own = [turnout(fill, f"T{fill}") for fill in (0, 100, 200, 300)]
    advice = {"A": choose(animal(coat_mm), where, own), "B": choose(animal(26), where, [turnout(200, "B")])}
    assert share(advice).outfits["A"].tags == advice["A"].chosen.tags


def test_nothing_contested_everyone_gets_the_best():
    advice = {
        "A": choose(animal(2), COLD, [turnout(300, "T3")]),
        "B": choose(animal(26), COLD, [turnout(200, "T2")]),
    }
    shared = share(advice)
    assert given_tags(shared) == {"A": ("T3",), "B": ("T2",)}
    assert (shared.short, shared.gap, shared.message, shared.exact) == ((), 0.0, "", True)


def test_the_clipped_horse_gets_the_one_heavy_blanket_and_who_goes_short_is_said():
    pair = {"coat_mm": 12}, {"coat_mm": 2, "clip": Clip.FULL}
    shared = share(barn(*pair, blankets=[turnout(400, "T4"), turnout(0, "T0")], where=stay(-9, 3)))
    assert given_tags(shared) == {"A": ("T0",), "B": ("T4",)}
    assert [one.name for one in shared.short] == ["A"]
    assert shared.short[0].because == (("T4", "B"),)
    assert shared.short[0].text.startswith("A goes short: T4 goes on B, so it gets ")
    assert shared.exact


def test_equal_needs_are_settled_by_horse_then_tag():
    shared = share(barn({}, {}, {}, blankets=[turnout(200, "T2"), turnout(200, "T1")]))
    assert given_tags(shared) == {"A": ("T1",), "B": ("T2",), "C": ()}
    assert {tag for tag, _ in shared.short[0].because} == {"T1"}


def test_a_gram_more_is_not_going_short():
    shared = share(barn({}, {}, blankets=[turnout(200, "T1"), turnout(250, "T2")]))
    assert given_tags(shared) == {"A": ("T1",), "B": ("T2",)}
    assert shared.short == ()


def test_own_before_borrowed():
    own, other = turnout(200, "OWN"), turnout(200, "ALIEN", mine=False)
    assert given_tags(share({"A": choose(animal(), COLD, [own, other])})) == {"A": ("OWN",)}


def test_nothing_refused_is_handed_out():
    shared = share(barn({"coat_mm": 2}, blankets=[turnout(300, state=State.DRYING)]))
    assert given_tags(shared) == {"A": ()}


def test_an_empty_barn():
    shared = share({})
    assert (dict(shared.outfits), shared.cost, shared.exact) == ({}, 0, True)


@st.composite
def barns(draw: st.DrawFn) -> dict[str, Advice]:
    shared_stay = draw(stays(st.floats(-30, 5), precip_mm=st.just(0.0), place=st.none()))
    stock = draw(blankets(4))
    count = draw(st.integers(1, 3))
    asked = [Request(draw(horses), shared_stay, stock) for _ in range(count)]
    return dict(zip("ABC", choose_herd(asked), strict=False))


def used_once(shared: Shared) -> bool:
    tags = [tag for one in shared.outfits.values() for tag in one.tags]
    return len(tags) == len(set(tags))


@settings(max_examples=examples(2_000))
@given(barns())
def test_as_good_as_brute_force_and_no_blanket_twice(advice: dict[str, Advice]):
    shared = share(advice)
    assert used_once(shared)
    assert shared.exact
    assert shared.cost == pytest.approx(least_cost(advice), abs=1e-5)
    assert shared.cost == pytest.approx(sum(cost(one) for one in shared.outfits.values()))
    assert all(one.refused is None for one in shared.outfits.values())
    assert all(one.because for one in shared.short)


@settings(max_examples=examples(1_000))
@given(barns())
def test_without_time_it_is_dealt_out_and_says_so(advice: dict[str, Advice]):
    shared = share(advice, time_limit_s=0.0)
    assert used_once(shared)
    assert list(shared.outfits) == list(advice)
    assert shared.cost >= least_cost(advice) - 1e-5
    if not shared.exact:
        assert "0 s" in shared.message


def test_a_large_barn_in_the_time_given():
    """Sixty horses over one store of 120 blankets."""
    store = [turnout(fill, f"T{fill}-{index}") for index in range(15) for fill in (0, 50, 100, 200, 300, 400)]
    store += [liner(100, f"L{index}") for index in range(20)] + [
        made(f"N{index}", Kind.NECK_COVER) for index in range(10)
    ]
    advice = {f"H{index:02}": choose(animal(2 + index % 25), COLD, store) for index in range(60)}
    shared = share(advice, time_limit_s=20)
    assert used_once(shared)
    assert shared.exact
