"""The questions of the stall door with the network cut: the same taps, the same answers, from what the phone kept."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from barnrugs.barns.models import Person
from tests.browser.away import Away, away, wire
from tests.browser.test_questions_staff import (
    HOME,
    Taps,
    cast,
    row,
    test_1_what_does_this_horse_wear_going_out_now,
    test_2_cold_now_warm_by_noon_who_takes_it_off,
    test_3_does_rain_or_wind_change_it,
    test_4_what_inside_tonight,
    test_5_which_of_these_is_its_medium,
    test_6_may_this_one_go_outside,
    test_8_the_horse_is_wet_may_i,
    test_10_which_layers_in_what_order_how_warm,
    test_11_the_right_one_is_wet_next_best,
    test_12_who_decides_here,
    test_24_who_may_handle_this_horse_and_how,
)
from tests.inventory.lists import line_of

# The tests of these names run here once more, with as_ from below: a phone that was there and lost its signal.
__all__ = [
    "away",
    "cast",
    "test_1_what_does_this_horse_wear_going_out_now",
    "test_2_cold_now_warm_by_noon_who_takes_it_off",
    "test_3_does_rain_or_wind_change_it",
    "test_4_what_inside_tonight",
    "test_5_which_of_these_is_its_medium",
    "test_6_may_this_one_go_outside",
    "test_8_the_horse_is_wet_may_i",
    "test_10_which_layers_in_what_order_how_warm",
    "test_11_the_right_one_is_wet_next_best",
    "test_12_who_decides_here",
    "test_24_who_may_handle_this_horse_and_how",
    "wire",
]


class FromKept(Taps):
    """From the address that an installed page starts at."""

    def __init__(self, phone: Away) -> None:
        self.page, self.count = phone.page, 0
        self.page.goto(f"{phone.wire.url}{HOME}")


@pytest.fixture
def as_(away) -> Callable[[Person], Taps]:
    phones: dict[int, Away] = {}

    def come_in(person: Person) -> Taps:
        if person.pk not in phones:
            phones[person.pk] = away(person)
            phones[person.pk].visit()
            phones[person.pk].cut()
        return FromKept(phones[person.pk])

    return come_in


def test_7_too_hot_or_too_cold_under_there(cast, as_):
    taps = as_(cast.staff).tap("^Hand check Bramble$")
    taps.reads("Take a layer off, or put on a lighter one.")
    taps.tap("^Sweating$", "button").reads("Hand check", "On this phone")


def test_9_how_long_has_it_been_in_the_rain(cast, as_):
    as_(cast.staff).tap("^Bramble$").reads("Rain on what it wears")


def test_14_what_is_on_this_horse_now(cast, as_):
    taps = as_(cast.staff)
    expect(row(taps, line_of(cast))).to_contain_text("WRN22")
    assert taps.count == 0
