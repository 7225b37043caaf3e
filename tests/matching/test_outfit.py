"""What can be worn together, and that pruning loses nothing better."""

from itertools import chain, permutations

import pytest
from hypothesis import given, settings

from barnrugs.matching.choose import Request, choose
from barnrugs.matching.heat import comfort
from barnrugs.matching.judge import Judge, rank
from barnrugs.matching.outfit import BARE, Blanket, Outfit, as_worn
from barnrugs.matching.refusals import situation
from barnrugs.matching.words import Kind, Neck, Waterproofing
from tests.matching.choice_builders import animal, liner, made, named, pieces, requests, stable, turnout
from tests.matching.examples import examples
from tests.matching.weather_builders import STALL, stay

COLD = stay(-20, 3)


def tags(*blankets: Blanket) -> set[tuple[tuple[str, ...], bool]]:
    return {(one.tags, one.neck) for one in choose(animal(), COLD, blankets).outfits}


def test_the_bare_horse_is_always_one():
    assert tags() == {((), False)}


def test_a_liner_is_never_worn_alone():
    """Common practice, no source."""
    assert tags(liner()) == {((), False)}
    assert tags(liner(), turnout()) == {((), False), (("T",), False), (("L", "T"), False)}


def test_fills_add():
    both = named(choose(animal(), COLD, [liner(100), turnout(200)]), "L", "T")
    alone = named(choose(animal(), COLD, [turnout(300)]), "T")
    assert both.outfit.fill_g == 300
    assert both.low_c == alone.low_c


@pytest.mark.parametrize("kind", Kind)
def test_inner_layers_are_liner_sheet_and_stable_blanket(kind: Kind):
    found = choose(animal(), COLD, [turnout(0), made("B", kind, 50, waterproofing=Waterproofing.NONE)]).outfits
    assert (("B", "T") in {one.tags for one in found}) is (kind in {Kind.LINER, Kind.SHEET, Kind.STABLE})


def test_one_waterproof_layer_and_it_is_outermost():
    sheet = made("R", Kind.SHEET, waterproofing=Waterproofing.WATERPROOF)
    found = choose(animal(), COLD, [sheet, turnout(0), stable(100)]).outfits
    layers = [[layer.waterproofing for layer in one.outfit.layers] for one in found]
    assert layers
    assert not [one for one in layers if Waterproofing.WATERPROOF in one[:-1]]


def test_at_most_three_layers():
    found = choose(animal(), COLD, [turnout(0), *(liner(10, f"L{index}") for index in range(5))]).outfits
    assert max(len(one.outfit.layers) for one in found) == 3


def test_fill_is_never_above_the_limit_of_the_model():
    found = choose(animal(), COLD, [turnout(400), stable(400), liner(200)]).outfits
    assert max(one.outfit.fill_g for one in found) == 800


def test_necks():
    assert tags(turnout(neck=Neck.REMOVABLE)) == {((), False), (("T",), False), (("T",), True)}
    assert tags(turnout(neck=Neck.FIXED)) == {((), False), (("T",), True)}
    cover = made("N", Kind.NECK_COVER, waterproofing=Waterproofing.WATERPROOF)
    assert tags(turnout(), cover) == {((), False), (("T",), False), (("T", "N"), True)}
    assert tags(turnout(neck=Neck.REMOVABLE), cover) == {((), False), (("T",), False), (("T",), True)}
    assert tags(cover) == {((), False)}


def test_a_neck_cover_is_no_layer_and_adds_no_fill():
    cover = made("N", Kind.NECK_COVER, 150, waterproofing=Waterproofing.WATERPROOF)
    with_neck = named(choose(animal(), COLD, [turnout(200), cover]), "T", "N")
    assert (len(with_neck.outfit.layers), with_neck.outfit.fill_g) == (1, 200)


def test_the_outfit_worn_now_in_its_own_order():
    worn = as_worn(("S", "L", "T"), [turnout(), stable(), liner()])
    assert worn is not None
    assert worn.tags == ("S", "L", "T")


def test_what_cannot_be_worn_is_no_outfit():
    cover = made("N", Kind.NECK_COVER)
    assert as_worn((), [turnout()]) is None
    assert as_worn(("X",), [turnout()]) is None
    assert as_worn(("L",), [liner()]) is None
    assert as_worn(("T", "S"), [turnout(), stable()]) is None
    assert as_worn(("N",), [cover]) is None
    assert as_worn(("T", "N"), [turnout(neck=Neck.FIXED), cover]) is None
    assert as_worn(("T", "N"), [turnout(), cover]) == Outfit((turnout(),), neck=True, neck_cover=cover)


def everything(blankets: list[Blanket]) -> list[Outfit]:
    """Every outfit by the design's words, by brute force."""
    inner = [one for one in blankets if one.kind in {Kind.LINER, Kind.SHEET, Kind.STABLE}]
    inner = [one for one in inner if one.waterproofing is not Waterproofing.WATERPROOF]
    outer = [one for one in blankets if one.kind not in {Kind.LINER, Kind.NECK_COVER}]
    covers = [one for one in blankets if one.kind is Kind.NECK_COVER]
    found = [BARE]
    for top in outer:
        for under in chain.from_iterable(permutations(inner, count) for count in range(3)):
            if top in under or not in_order(under):
                continue
            layers = (*under, top)
            found.append(Outfit(layers, top.neck is Neck.FIXED))
            if top.neck is Neck.REMOVABLE:
                found.append(Outfit(layers, neck=True))
            if top.neck is Neck.NONE:
                found += [Outfit(layers, neck=True, neck_cover=cover) for cover in covers]
    return [outfit for outfit in found if outfit.fill_g <= 800]


def in_order(under: tuple[Blanket, ...]) -> bool:
    """Liner, then sheet, then stable blanket, from the skin outwards."""
    ranks = [[Kind.LINER, Kind.SHEET, Kind.STABLE].index(layer.kind) for layer in under]
    return ranks == sorted(ranks)


@settings(max_examples=examples(2_000))
@given(requests)
def test_pruning_never_loses_the_best(request: Request):
    """Against every outfit there is, judged one by one."""
    advice = choose(request.horse, request.stay, request.blankets)
    outfits = everything(list(request.blankets))
    judge, found = Judge(situation(request.horse, request.stay)), comfort(request.horse, request.stay, outfits)
    in_stall = not judge.at.outdoors
    best = min(rank(one, in_stall=in_stall) for one in judge.judge(outfits, found))
    assert rank(advice.chosen, in_stall=in_stall) <= best


def test_twenty_blankets_stay_few_outfits():
    wardrobe = [turnout(fill, f"T{fill}", neck=Neck.REMOVABLE) for fill in (0, 50, 100, 150, 200, 300, 400)]
    wardrobe += [stable(fill, f"S{fill}") for fill in (100, 150, 200, 250, 300, 400)]
    wardrobe += [liner(fill, f"L{fill}") for fill in (50, 100, 150, 200, 250)]
    wardrobe += [made("H1", Kind.SHEET), made("H2", Kind.SHEET)]
    assert len(wardrobe) == 20
    assert len(everything(wardrobe)) > 1_500
    found = choose(animal(), stay(-20, place=STALL), wardrobe).outfits
    assert len(found) < 250
    assert all(len({piece.tag for piece in pieces(one.outfit)}) == len(one.tags) for one in found)
