"""The questions of the barn, each answered in at most two taps from the right person's first page.

The questions are those a barn asks itself (common practice, no source); the numbers follow the order of a day.
"""

import re
from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta

import pytest
from playwright.sync_api import Page, expect

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, Person
from barnrugs.matching.charts import Row
from horses.models import Horse
from inventory.domain import charts, lists, sessions
from inventory.domain.charts import Written
from inventory.models import HandCheck, ListLine
from tests import factories as make
from tests.browser.looking import Enter
from tests.cast import Cast, build_cast
from tests.inventory.lists import COLD, line_of, now

HOME = "/barns/home/"
MOST = 2


class Taps:
    """A person's way from the first page: every tap counts."""

    def __init__(self, page: Page) -> None:
        self.page, self.count = page, 0
        page.goto(HOME)

    def tap(self, name: str, role: str = "link") -> "Taps":
        self.count += 1
        assert self.count <= MOST
        self.page.get_by_role(role, name=re.compile(name)).first.click()
        return self

    def reads(self, *words: str) -> None:
        for text in words:
            expect(self.page.locator("main")).to_contain_text(text)


def where_it_is_noon() -> str:
    """A time zone in which the hour is twelve now, so that the midday list is at hand at whatever time this runs."""
    east_h = 12 - datetime.now(UTC).hour
    return f"Etc/GMT{-east_h:+d}" if east_h else "Etc/GMT"


@pytest.fixture
def cast(live_server, transactional_db) -> Cast:
    cast = build_cast()
    Barn.objects.filter(pk=cast.barn.pk).update(time_zone=where_it_is_noon())
    cast.barn.refresh_from_db()
    for session, at in (("turnout", 7), ("midday", 12), ("bring_in", 16)):
        make.StaffedTimeFactory(barn=cast.barn, session=session, at=time(at))
    Horse.objects.filter(pk=cast.owners_horse.pk).update(
        handling_note="Kicks at the girth", two_people=True, must_be_covered=True, call_number="555 0100"
    )
    make.BlanketFactory(
        barn=cast.barn, tag="CLR99", owner=cast.owner, usual_horse=cast.owners_horse, kind="cooler", fill_g=0
    )
    make.PictureFactory(blanket=cast.worn)
    for slot in sessions.coming(cast.barn, now()):
        lists.ensure(cast.barn, slot, at=now(), conditions=COLD)
    return cast


@pytest.fixture
def as_(phone: Page, enter: Enter) -> Callable[[Person], Taps]:
    def come_in(person: Person) -> Taps:
        enter(phone, person)
        return Taps(phone)

    return come_in


def row(taps: Taps, line: ListLine):
    return taps.page.locator(f"#line-{line.pk}")


def test_1_what_does_this_horse_wear_going_out_now(cast, as_):
    taps, line = as_(cast.staff), line_of(cast)
    expect(row(taps, line).locator(".answer")).to_contain_text(" + ".join(line.tags_to))
    assert taps.count == 0


def test_2_cold_now_warm_by_noon_who_takes_it_off(cast, as_):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(take_off_at=now() + timedelta(hours=1))
    expect(row(as_(cast.staff), line)).to_contain_text("it stands on the list of that time.")


def test_3_does_rain_or_wind_change_it(cast, as_):
    as_(cast.staff).tap("^Bramble$").reads("If it stays dry and calm:", "If it rains or snows and blows:")


def test_4_what_inside_tonight(cast, as_):
    tonight = ListLine.objects.get(change_list__session="night_check", horse=cast.owners_horse)
    taps = as_(cast.staff)
    expect(row(taps, tonight)).to_have_count(0)
    taps.tap("^Night check")
    expect(row(taps, tonight).locator(".answer")).to_contain_text(" + ".join(tonight.tags_to))


def test_5_which_of_these_is_its_medium(cast, as_):
    taps = as_(cast.staff).tap("^Bramble$")
    medium = taps.page.locator("li", has_text="medium, 200 g")
    expect(medium.first).to_contain_text("WRN22")
    expect(medium.locator("img").first).to_be_visible()


def test_6_may_this_one_go_outside(cast, as_):
    taps = as_(cast.staff).tap("^Bramble$")
    taps.reads("May go outside, in rain too.", "Not for outside")


def test_7_too_hot_or_too_cold_under_there(cast, as_):
    taps = as_(cast.staff).tap("^Hand check Bramble$")
    taps.reads("Take a layer off, or put on a lighter one.")
    taps.tap("^Sweating$", "button")
    expect(taps.page).to_have_url(re.compile("/hand-checks/"), timeout=15_000)
    taps.reads("cool it out first")
    assert HandCheck.objects.get().felt == "sweating"
    taps.page.goto(HOME)
    taps.reads("cool it out first")


def test_8_the_horse_is_wet_may_i(cast, as_):
    as_(cast.staff).tap("^Bramble$").reads(
        "If the horse is wet", "First this, until dry, then ask again:", "CLR99", "call the veterinarian"
    )


def test_9_how_long_has_it_been_in_the_rain(cast, as_):
    taps = as_(cast.staff).tap("^Wet and drying$")
    expect(taps.page.get_by_role("heading", level=1)).to_be_visible()
    as_(cast.staff).tap("^Bramble$").reads("Rain on what it wears")


def test_10_which_layers_in_what_order_how_warm(cast, as_):
    line = line_of(cast)
    ListLine.objects.filter(pk=line.pk).update(tags_to=["LNR44", "WNR33"])
    taps = as_(cast.staff).tap("^Bramble$")
    taps.reads("In this order", "next to the coat", "400 g in all", "tog")
    layers = taps.page.locator("h2:has-text('In this order') + ol > li").all_inner_texts()
    assert [text.split()[0] for text in layers] == ["LNR44", "WNR33"]


def test_11_the_right_one_is_wet_next_best(cast, as_):
    taps = as_(cast.staff).tap("^Other Bramble$")
    assert taps.page.locator(".offers label").count() >= 3
    taps.reads("BRN88")


def test_12_who_decides_here(cast, as_):
    chart = Written((Row(None, None, tags=("LNR44", "WNR33")),))
    charts.write_chart(cast.owners_horse, written=chart, seen=None, actor=Actor(cast.owner))
    line = line_of(cast)
    lists.make_anew(line.change_list, actor=Actor(cast.staff), at=now(), conditions=COLD)
    taps = as_(cast.staff)
    expect(row(taps, line)).to_contain_text("The owner's chart decides")
    expect(row(taps, line).locator(".answer")).to_contain_text("LNR44 + WNR33")


def test_14_what_is_on_my_horse_now(cast, as_):
    taps = as_(cast.owner)
    taps.reads("Bramble", "WRN22", "Last change")
    assert taps.count == 0


def test_23_which_horses_must_be_covered(cast, as_):
    taps = as_(cast.manager)
    section = taps.page.get_by_role("region", name="Must be covered whatever the rule")
    expect(section.get_by_role("listitem")).to_have_count(1)
    expect(section).to_contain_text("Bramble")


def test_24_who_may_handle_this_horse_and_how(cast, as_):
    line = line_of(cast)
    taps = as_(cast.staff)
    expect(row(taps, line)).to_contain_text("Needs two people.")
    expect(row(taps, line)).to_contain_text("Kicks at the girth")
    taps.tap("^Bramble$").reads("555 0100")
