"""What comfort() answers: bands, degrees, hay, tog; needs, places, cloths; and what it refuses to answer."""

import math
from dataclasses import replace

import numpy as np
import pytest

from barnrugs.matching.heat import NoAnswer, comfort, comfort_herd
from barnrugs.matching.outfit import BARE, Blanket, Outfit
from barnrugs.matching.weather import Place, Stay
from barnrugs.matching.words import Clip, Feed, Kind, Need, PlaceKind, Shelter, State, Waterproofing
from tests.matching.weather_builders import SHED, STALL, horse, hour, stable, stay, turnout, worn

FROST = stay(-10, 3)
T200 = worn(turnout(200))
SOAKED = worn(Blanket("soaked", Kind.SHEET, soak=1.0, state=State.ON_HORSE))


def band(animal, where, outfit=BARE):
    found = comfort(animal, where, [outfit])
    return found.low_c[0, 0], found.high_c[0, 0]


def test_shapes():
    found = comfort(horse(), stay(0, hours=5), [BARE, T200, worn(stable(100))])
    by_hour = (found.low_c, found.high_c, found.cold_c, found.warm_c, found.coat_wet, found.soak, found.surface_c)
    assert {array.shape for array in by_hour} == {(3, 5)}
    assert found.air_c.shape == (5,)
    assert found.hay_kg_per_day.shape == found.tog.shape == (3,)


def test_a_day_in_cold_and_warm():
    """Degrees below and above the band are zero inside it, and never both more."""
    hours = Stay(tuple(hour(index, air_c) for index, air_c in enumerate((-40, 0, 35))))
    found = comfort(horse(), hours, [BARE])
    assert found.cold_c[0] == pytest.approx([found.low_c[0, 0] + 40, 0, 0])
    assert found.warm_c[0] == pytest.approx([0, 0, 35 - found.high_c[0, 2]])


def test_tog_is_the_layers_dry_in_still_air():
    """1 tog is 0.1 m2K/W (R); 0.05 + 0.00135 a gram (A)."""
    found = comfort(horse(), stay(0, 20), [BARE, worn(turnout(0)), T200, worn(stable(100), turnout(200))])
    assert found.tog == pytest.approx([0, 0.5, 3.2, 4.55])


def test_hay_is_the_missing_heat():
    """kg a day: degrees x G x skin x seconds / 8 MJ; in the dry G is (M - E_min) / (38 - low_c) (D)."""
    found = comfort(horse(), stay(-40, place=STALL), [BARE])
    degrees, conductance = found.cold_c[0, 0], 0.65 * 142 / (38 - found.low_c[0, 0])
    assert found.hay_kg_per_day[0] == pytest.approx(degrees * conductance * 5.09 * 86400 / 8.0e6)


def test_hay_is_the_mean_over_the_hours():
    cold, mild = hour(0, -40.0, 3.0), hour(1, 10.0, 3.0)
    day = comfort(horse(), Stay((cold, mild)), [BARE]).hay_kg_per_day[0]
    assert day == pytest.approx(comfort(horse(), Stay((cold,)), [BARE]).hay_kg_per_day[0] / 2)


@pytest.mark.parametrize(
    ("needs", "low_shift", "high_shift"),
    [
        ({Need.THIN}, 6, 3),
        ({Need.OLD}, 6, 3),
        ({Need.ILL, Need.THIN, Need.YOUNG}, 6, 3),
        ({Need.YOUNG}, 3, 3),
    ],
)
def test_needs_shift_the_band_once(needs, low_shift, high_shift):
    low, high = band(horse(), FROST, T200)
    needy_low, needy_high = band(horse(needs=frozenset(needs)), FROST, T200)
    assert (needy_low - low, needy_high - high) == pytest.approx((low_shift, high_shift))


def test_needs_never_turn_the_band_inside_out():
    """Under a soaked sheet on a warm day the two ends meet: low_c rises by 6, high_c is held at it."""
    hot = stay(30, 1, rh=0.3)
    low, high = band(horse(30), hot, SOAKED)
    assert low == high
    assert band(horse(30, needs=frozenset({Need.OLD})), hot, SOAKED) == pytest.approx((low + 6, low + 6))


def test_extra_hay_is_not_counted_on_for_the_frail():
    frail = frozenset({Need.OLD})
    assert band(horse(feed=Feed.FREE, needs=frail), FROST) == band(horse(needs=frail), FROST)
    limited = band(horse(feed=Feed.LIMITED, needs=frail), FROST)
    assert limited[0] > band(horse(needs=frail), FROST)[0]
    young = frozenset({Need.YOUNG})
    assert band(horse(feed=Feed.FREE, needs=young), FROST)[0] < band(horse(needs=young), FROST)[0]


@pytest.mark.parametrize("offset_c", [-10, -2.5, 7])
def test_offset_shifts_both_ends(offset_c):
    moved = np.subtract(band(horse(offset_c=offset_c), FROST, T200), band(horse(), FROST, T200))
    assert moved == pytest.approx([offset_c, offset_c])


def test_feed_orders_the_cold_end():
    """Cymbaluk 1994, Livest Prod Sci 40:65 (R): the better fed, the less cold."""
    lows = [band(horse(feed=feed), FROST)[0] for feed in Feed]
    assert lows == sorted(lows, reverse=True)
    assert len(set(lows)) == 3


def test_shelter_orders_the_cold_end():
    lows = [band(horse(), stay(-10, 10, place=Place(shelter=shelter)))[0] for shelter in Shelter]
    assert lows == sorted(lows, reverse=True)
    assert len(set(lows)) == 3


def test_an_hour_has_its_own_place():
    outside, inside = hour(0, -10.0, 10.0), replace(hour(1, -10.0, 10.0), place=Place(PlaceKind.STALL, indoor_gain_c=8))
    found = comfort(horse(), Stay((outside, inside)), [BARE])
    assert found.air_c.tolist() == [-10, -2]
    assert found.low_c[0, 1] == pytest.approx(band(horse(), stay(-2, place=STALL))[0])


def test_turnout_moves_the_horse():
    """Coenen et al. 2011 (Q): 1.10; in still dry air under no sky that is all a paddock changes."""
    stalled, out = band(horse(), stay(0, place=STALL))[0], band(horse(), stay(0))[0]
    assert 38 - out == pytest.approx(1.10 * (38 - stalled))


def test_a_clip_is_paths_of_its_own_not_a_mean_depth():
    """Clipped skin loses more than a mean depth would; the share decides."""
    lows = [band(horse(clip=clip), FROST)[0] for clip in Clip]
    assert lows == sorted(lows)
    assert lows[0] == band(horse(clip_depth_mm=9), FROST)[0]
    assert lows[-1] == band(horse(2), FROST)[0]
    assert band(horse(clip=Clip.BLANKET), FROST)[0] > band(horse(0.45 * 26 + 0.55 * 2), FROST)[0]


WINDY = stay(-5, 12)


@pytest.mark.parametrize(
    ("blanket", "windproof"),
    [
        (Blanket("a", Kind.TURNOUT), True),
        (Blanket("a", Kind.RAIN_SHEET), True),
        (Blanket("a", Kind.STABLE), False),
        (Blanket("a", Kind.STABLE, waterproofing=Waterproofing.RESISTANT), True),
        (Blanket("a", Kind.SHEET, waterproofing=Waterproofing.WATERPROOF), True),
        (Blanket("a", Kind.TURNOUT, windproof=False), False),
        (Blanket("a", Kind.SHEET, windproof=True), True),
    ],
)
def test_windproof_by_kind_and_cloth_or_as_entered(blanket, windproof):
    entered = [worn(replace(blanket, windproof=said)) for said in (True, False)]
    as_windproof, as_open = (band(horse(), WINDY, outfit)[0] for outfit in entered)
    assert as_windproof < as_open - 1
    assert band(horse(), WINDY, worn(blanket))[0] == (as_windproof if windproof else as_open)


def test_one_windproof_layer_is_enough():
    inner_open = worn(stable(100), turnout(0))
    assert band(horse(), WINDY, inner_open)[0] == pytest.approx(band(horse(), WINDY, worn(turnout(100)))[0])


def test_what_does_not_breathe_is_warm_sooner():
    free, airtight = band(horse(), FROST, T200), band(horse(), FROST, worn(turnout(200, breathable=False)))
    assert airtight[0] == free[0]
    assert airtight[1] < free[1] - 2
    assert band(horse(), FROST, worn(stable(0, breathable=False), turnout(200)))[1] == airtight[1]


def test_nothing_worn_stands_more_heat_than_nothing():
    """A sheet that flattens a deep coat in still air would; the bare horse's warm end holds it."""
    still = stay(0, 0, rh=0.7)
    flattened = band(horse(26), still, worn(turnout(0)))
    assert flattened[0] > band(horse(26), still)[0]
    assert flattened[1] == band(horse(26), still)[1]


def test_fills_add_and_a_neck_cover_adds_none():
    cover = Blanket("N", Kind.NECK_COVER, fill_g=300)
    plain = Outfit((turnout(200),), neck=True)
    assert band(horse(), FROST, replace(plain, neck_cover=cover)) == band(horse(), FROST, plain)
    layered = worn(stable(100), turnout(100))
    assert band(horse(), FROST, layered)[0] == pytest.approx(band(horse(), FROST, T200)[0])


def test_a_neck_cover_covers_more():
    assert band(horse(), FROST, worn(turnout(200), neck=True))[0] < band(horse(), FROST, T200)[0]


def test_a_shed_halves_the_rain_on_the_horse():
    open_field = comfort(horse(), stay(5, 0, precip_mm=2.0), [BARE]).coat_wet[0, 0]
    under_shed = comfort(horse(), stay(5, 0, precip_mm=4.0, place=SHED), [BARE]).coat_wet[0, 0]
    assert open_field == pytest.approx(under_shed)


def test_herds_of_stays_of_many_lengths_come_back_in_order():
    cases = [
        (horse(mm), stay(mm - 20, 2, hours=hours), [BARE, T200]) for mm, hours in ((8, 3), (26, 1), (15, 3), (20, 2))
    ]
    for case, found in zip(cases, comfort_herd(cases), strict=True):
        alone = comfort(*case)
        assert np.array_equal(found.low_c, alone.low_c)
        assert np.array_equal(found.air_c, alone.air_c)


def test_nothing_to_answer():
    assert comfort_herd([]) == []
    assert comfort(horse(), FROST, []).low_c.shape == (0, 1)


def test_outfits_of_different_length_for_each_horse():
    found = comfort_herd([(horse(), FROST, [BARE]), (horse(8), FROST, []), (horse(9), FROST, [T200, BARE])])
    assert [len(each.low_c) for each in found] == [1, 0, 2]
    assert found[2].low_c[1, 0] == band(horse(9), FROST)[0]


HEAVY = worn(stable(401), turnout(400))
REFUSED = [
    (horse(mass_kg=34.0), FROST, BARE, "horse.mass_kg"),
    (horse(mass_kg=1101.0), FROST, BARE, "horse.mass_kg"),
    (horse(bcs=0.5), FROST, BARE, "horse.bcs"),
    (horse(0.5), FROST, BARE, "horse.coat_depth_mm"),
    (horse(61), FROST, BARE, "horse.coat_depth_mm"),
    (horse(clip_depth_mm=0.0), FROST, BARE, "horse.clip_depth_mm"),
    (horse(offset_c=10.5), FROST, BARE, "horse.offset_c"),
    (horse(mass_kg=math.nan), FROST, BARE, "horse.mass_kg"),
    (horse(), stay(-46), BARE, "hours[0].air_c"),
    (horse(), FROST, HEAVY, "outfits[1].fill_g"),
    (horse(), FROST, worn(turnout(-1)), "outfits[1].fill_g"),
    (horse(), FROST, worn(stable(100), turnout(-1)), "outfits[1].T-1.fill_g"),
    (horse(), FROST, worn(turnout(200, soak=1.1)), "outfits[1].T200.soak"),
]


@pytest.mark.parametrize(("animal", "where", "outfit", "path"), REFUSED, ids=[case[-1] for case in REFUSED])
def test_outside_the_limits_there_is_no_answer(animal, where, outfit, path):
    with pytest.raises(NoAnswer) as refused:
        comfort(animal, where, [BARE, outfit])
    assert refused.value.path == path
    assert refused.value.reason.text.endswith(".")
    assert str(refused.value) == f"{path}: {refused.value.reason.text}"


def test_the_limits_themselves_are_inside():
    edge = [
        horse(1, mass_kg=35.0, bcs=1.0, offset_c=-10.0, clip=Clip.HUNTER, clip_depth_mm=60.0),
        horse(60, mass_kg=1100.0, bcs=9.0, offset_c=10.0, clip=Clip.HUNTER, clip_depth_mm=1.0),
    ]
    hours = Stay((hour(0, -45.0, 30.0, rh=0.0, clear_night=1.0), hour(1, 40.0, 0.0, rh=1.0, irradiance_wm2=1200.0)))
    for found in comfort_herd([(animal, hours, [BARE, worn(stable(400), turnout(400))]) for animal in edge]):
        assert np.isfinite(found.low_c).all()
        assert np.isfinite(found.high_c).all()
