"""Laws the heat balance keeps over all its limits, at equal wetness and place, where dry or with humidity from 0.3.

Checked besides by 80,000 draws of a second implementation. What they say is physics; that they hold here is not.
"""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from barnrugs.matching.heat import comfort
from barnrugs.matching.horse import Horse
from barnrugs.matching.outfit import BARE, Outfit
from barnrugs.matching.weather import Hour, Place, Stay
from barnrugs.matching.words import Feed, PlaceKind
from tests.matching.examples import examples
from tests.matching.strategies import (
    between,
    fractions,
    horses,
    law_stays,
    outfits,
    stays_of_any_weather,
    worn_outfits,
)
from tests.matching.weather_builders import START

ROUNDING_C = 1e-9
law = settings(max_examples=examples(), deadline=None)
long_law = settings(max_examples=examples(4_000), deadline=None)
pytestmark = pytest.mark.slow


def low(horse: Horse, stay: Stay, outfit: Outfit) -> float:
    return float(comfort(horse, stay, [outfit]).low_c[0, 0])


def with_hour(stay: Stay, **change: Any) -> Stay:
    return replace(stay, hours=(replace(stay.hours[0], **change),))


def dry_where_it_must_be(stay: Stay, outfit: Outfit) -> Outfit:
    """Below humidity 0.3 the laws are for what is dry."""
    if stay.hours[0].rh >= 0.3:
        return outfit
    return replace(outfit, layers=tuple(replace(layer, soak=0.0) for layer in outfit.layers))


@law
@given(horses, law_stays(), outfits, between(-45, 20))
def test_colder_is_never_easier(horse, stay, outfit, colder):
    outfit = dry_where_it_must_be(stay, outfit)
    before, after = sorted((stay.hours[0].air_c, colder), reverse=True)
    need = low(horse, with_hour(stay, air_c=before), outfit) - before
    assert low(horse, with_hour(stay, air_c=after), outfit) - after >= need - ROUNDING_C


def no_clear_sky_on_what_is_wet_and_mild(stay: Stay, outfit: Outfit) -> Stay:
    """Above freezing a clear sky cools something soaked so far that wind, which warms it again, can be a gain."""
    wet = stay.coat_wet or stay.coat_wet_under or any(layer.soak for layer in outfit.layers)
    return with_hour(stay, clear_night=0.0) if wet and stay.hours[0].air_c > 0 else stay


@law
@given(horses, law_stays(), outfits, between(0, 30))
def test_more_wind_never_lowers_the_cold_end(horse, stay, outfit, wind):
    """Under any sky where all is dry, or up to 0 degC; else where no clear night cools."""
    outfit = dry_where_it_must_be(stay, outfit)
    stay = no_clear_sky_on_what_is_wet_and_mild(stay, outfit)
    calmer, windier = sorted((stay.hours[0].wind_10m_ms, wind))
    still = low(horse, with_hour(stay, wind_10m_ms=calmer), outfit)
    assert low(horse, with_hour(stay, wind_10m_ms=windier), outfit) >= still - ROUNDING_C


def test_beyond_that_domain_wind_can_be_a_gain():
    """A soaked thin foal under a clear night sky at 20 degC: why the law above does not claim more."""
    foal = Horse(mass_kg=35, bcs=1, coat_depth_mm=1, feed=Feed.LIMITED)
    only = Hour(START, air_c=20, wind_10m_ms=2, rh=0.3, precip_mm=0.0, clear_night=1.0)
    stay = Stay((only,), Place(kind=PlaceKind.TURNOUT), coat_wet=1.0)
    assert low(foal, with_hour(stay, wind_10m_ms=6), BARE) < low(foal, stay, BARE) - 1


@law
@given(horses, law_stays(), between(1, 60))
def test_a_deeper_bare_coat_never_raises_the_cold_end(horse, stay, depth_mm):
    """At equal wetness: the hour is judged by its start, and what it dries does not count."""
    thin, deep = sorted((horse.coat_depth_mm, depth_mm))
    shallow = low(replace(horse, coat_depth_mm=thin), stay, BARE)
    assert low(replace(horse, coat_depth_mm=deep), stay, BARE) <= shallow + ROUNDING_C


@law
@given(horses, law_stays(), worn_outfits, between(1, 3))
def test_more_fill_never_raises_the_cold_end(horse, stay, outfit, times):
    """At equal wetness: every layer grows alike, so that the mean soak stays."""
    outfit = dry_where_it_must_be(stay, outfit)
    assume(outfit.fill_g * times <= 800)
    filled = replace(outfit, layers=tuple(replace(layer, fill_g=layer.fill_g * times) for layer in outfit.layers))
    assert low(horse, stay, filled) <= low(horse, stay, outfit) + ROUNDING_C


@law
@given(horses, law_stays(), outfits, st.permutations(list(Feed)))
def test_more_feed_never_raises_the_cold_end(horse, stay, outfit, feeds):
    outfit = dry_where_it_must_be(stay, outfit)
    less, more = sorted(feeds[:2], key=list(Feed).index)
    hungry = low(replace(horse, feed=less), stay, outfit)
    assert low(replace(horse, feed=more), stay, outfit) <= hungry + ROUNDING_C


@law
@given(horses, law_stays(), outfits, fractions, fractions)
def test_wetter_never_lowers_the_cold_end(horse, stay, outfit, bare, under):
    assume(stay.hours[0].rh >= 0.3)
    wetter = replace(stay, coat_wet=max(stay.coat_wet, bare), coat_wet_under=max(stay.coat_wet_under or 0.0, under))
    assert low(horse, wetter, outfit) >= low(horse, stay, outfit) - ROUNDING_C


@law
@given(horses, law_stays(), worn_outfits, st.lists(fractions, min_size=3, max_size=3))
def test_more_soaked_never_lowers_the_cold_end(horse, stay, outfit, soaks):
    assume(stay.hours[0].rh >= 0.3)
    soaked = tuple(
        replace(layer, soak=max(layer.soak, soak)) for layer, soak in zip(outfit.layers, soaks, strict=False)
    )
    assert low(horse, stay, replace(outfit, layers=soaked)) >= low(horse, stay, outfit) - ROUNDING_C


@law
@given(horses, law_stays(), worn_outfits)
def test_a_neck_cover_never_raises_the_cold_end(horse, stay, outfit):
    """Once the covered path insulates at least as well as the bare one: the outfit is no colder than nothing."""
    outfit = replace(dry_where_it_must_be(stay, outfit), neck=False)
    without = low(horse, stay, outfit)
    assume(without <= low(horse, stay, BARE))
    assert low(horse, stay, replace(outfit, neck=True)) <= without + ROUNDING_C


@long_law
@given(horses, stays_of_any_weather(), outfits)
def test_the_band_is_never_inside_out(horse, stay, outfit):
    """In any weather the limits allow, and all figures are numbers."""
    found = comfort(horse, stay, [BARE, outfit])
    assert (found.low_c <= found.high_c).all()
    assert (found.cold_c * found.warm_c == 0).all()
    assert (found.hay_kg_per_day >= 0).all()
    assert ((found.coat_wet >= 0) & (found.coat_wet <= 1) & (found.soak >= 0) & (found.soak <= 1)).all()


@long_law
@given(horses, stays_of_any_weather(), st.lists(outfits, min_size=2, max_size=4))
def test_outfits_do_not_know_each_other(horse, stay, several):
    """Each outfit's answer is the same alone, in company and in another order, to the last bit."""
    together, backwards = comfort(horse, stay, several), comfort(horse, stay, several[::-1])
    for index, outfit in enumerate(several):
        alone = comfort(horse, stay, [outfit])
        assert alone.low_c[0].tolist() == together.low_c[index].tolist() == backwards.low_c[-1 - index].tolist()
        assert alone.high_c[0].tolist() == together.high_c[index].tolist()
