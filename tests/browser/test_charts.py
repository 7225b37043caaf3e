"""Charts in a real browser: written on a phone without script, looked at, read again, printed."""

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import User
from barnrugs.matching.charts import Row, Wetness
from barnrugs.matching.strength import FillWord
from barnrugs.matching.words import PlaceKind
from horses.domain import measurement
from inventory.domain import charts
from inventory.domain.charts import Written
from inventory.queries import charts as queries
from tests import factories as make
from tests.browser.conftest import PHONE, Screen
from tests.browser.looking import Enter, enlarge_text, sideways, violations
from tests.cast import Cast, build_cast

WET = Wetness.WET_OR_WINDY
OUT, STALL = PlaceKind.TURNOUT, PlaceKind.STALL
SHEET, LIGHT, MEDIUM, HEAVY = FillWord
ROWS = (
    Row(10, None, OUT, Wetness.DRY),
    Row(4.5, 10, OUT, Wetness.DRY, fill=SHEET),
    Row(-4, 4.5, OUT, Wetness.DRY, fill=MEDIUM),
    Row(None, -6, OUT, Wetness.DRY, tags=("LNR44", "WNR33"), neck=True, picked=("feel_under",)),
    Row(10, None, OUT, WET, fill=SHEET),
    Row(-4, 10, OUT, WET, fill=MEDIUM),
    Row(None, -4, OUT, WET, fill=HEAVY, note="and the hood"),
    Row(None, None, STALL, fill=LIGHT),
)


@pytest.fixture
def cast(live_server, transactional_db) -> Cast:
    return build_cast()


def written(cast: Cast, *, clipped: bool = False) -> None:
    actor = Actor(person=cast.manager)
    charts.write_chart(cast.owners_horse, written=Written(ROWS, note="Since October"), seen=None, actor=actor)
    house = Written((Row(8, None), Row(-2, 8, fill=LIGHT), Row(None, -2, fill=HEAVY)), feels_like=True)
    charts.write_chart(None, written=house, seen=None, actor=actor)
    if clipped:
        values = {"on": date(2026, 1, 10), "clip": "hunter", "clipped_now": True, "depth_mm": None}
        measurement.note_coat(cast.owners_horse, values=values, actor=actor)


def addresses(cast: Cast) -> list[str]:
    barn, horse = f"/barns/{cast.barn.slug}", cast.owners_horse.pk
    own = f"{barn}/horses/{horse}/chart/"
    return [f"{barn}/charts/", f"{barn}/chart/", f"{barn}/chart/change/", own, f"{own}change/", f"{own}end/"]


def test_every_page_passes_the_scan(page: Page, cast: Cast, enter: Enter):
    written(cast, clipped=True)
    enter(page, cast.manager)
    for address in addresses(cast):
        page.goto(address)
        expect(page.get_by_role("heading", level=1)).to_have_count(1)
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
        assert violations(page) == [], address


def test_narrow_screen_and_large_text(open_tab: Callable[..., Page], cast: Cast, enter: Enter):
    written(cast)
    page = open_tab(Screen("narrow", 320, 640, "light"))
    enter(page, cast.manager)
    for address in addresses(cast):
        page.goto(address)
        assert sideways(page) == 0, address
        enlarge_text(page)
        assert sideways(page) == 0, f"{address} enlarged"


def test_an_owner_writes_a_chart_on_a_phone_without_script(open_tab: Callable[..., Page], cast: Cast, enter: Enter):
    page = open_tab(PHONE, java_script_enabled=False)
    enter(page, cast.owner)
    page.goto(f"/barns/{cast.barn.slug}/horses/{cast.owners_horse.pk}/")
    page.get_by_role("link", name="Chart of Bramble").click()
    page.get_by_role("link", name="Write a chart").click()
    line = page.locator("details.chart-line")
    line.nth(0).get_by_label("From, °F").fill("50")
    line.nth(0).get_by_label("Nothing").check()
    line.nth(1).get_by_label("To below, °F").fill("40")
    line.nth(1).get_by_label("These blankets").check()
    line.nth(1).get_by_label("WNR33").check()
    page.get_by_role("button", name="Drop line 3").click()
    expect(line).to_have_count(2)
    page.get_by_role("button", name="Look at it first").last.click()
    expect(page.get_by_text("Out, dry, 40 to 50 °F: no line says what to put on.")).to_be_visible()
    assert queries.current(cast.barn, cast.owners_horse) is None
    page.get_by_role("button", name="Add a line").click()
    expect(line).to_have_count(3)
    line.nth(2).get_by_label("From, °F").fill("40")
    line.nth(2).get_by_label("To below, °F").fill("50")
    line.nth(2).get_by_label("Sheet").check()
    page.get_by_role("button", name="Save the chart").click()
    expect(page.get_by_role("heading", name="Chart of Bramble")).to_be_visible()
    expect(page.get_by_text("no line says")).to_have_count(0)
    rows = charts.written(queries.current(cast.barn, cast.owners_horse)).rows
    assert [(row.fill, row.tags) for row in rows] == [(None, ()), (SHEET, ()), (None, ("WNR33",))]


def test_no_word_of_a_tile_is_broken_on_a_phone(phone: Page, cast: Cast, enter: Enter):
    enter(phone, cast.manager)
    phone.goto(f"/barns/{cast.barn.slug}/chart/change/")
    broken = phone.get_by_text("Air temperature", exact=True).evaluate(
        """(span) => {
          const words = document.createRange();
          words.setStart(span.firstChild, 4);
          words.setEnd(span.firstChild, span.firstChild.length);
          return words.getClientRects().length;
        }"""
    )
    assert broken == 1


def test_return_in_a_field_only_looks(phone: Page, cast: Cast, enter: Enter):
    enter(phone, cast.owner)
    phone.goto(f"/barns/{cast.barn.slug}/horses/{cast.owners_horse.pk}/chart/change/")
    phone.get_by_label("Medium").first.check()
    phone.get_by_label("From, °F").first.fill("30")
    phone.get_by_label("From, °F").first.press("Enter")
    expect(phone.get_by_text("Not saved yet")).to_be_visible()
    assert queries.current(cast.barn, cast.owners_horse) is None


def test_after_a_clip_one_tap_says_that_it_holds(phone: Page, cast: Cast, enter: Enter):
    written(cast, clipped=True)
    enter(phone, cast.owner)
    phone.goto(f"/barns/{cast.barn.slug}/horses/{cast.owners_horse.pk}/chart/")
    phone.get_by_role("button", name="It still holds").click()
    expect(phone.get_by_text("To be read again")).to_have_count(0)
    assert not queries.to_read_again(cast.barn).exists()


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_forty_charts_print_on_two_pages_with_a_repeating_head(
    desktop: Page, cast: Cast, enter: Enter, tmp_path: Path, paper: str, language: str
):
    User.objects.update(language=language)
    for number in range(39):
        horse = make.HorseFactory(barn=cast.barn, name=f"Horse {number:02d}", stall=str(number), walk_order=number)
        chart = make.ChartFactory(barn=cast.barn, horse=horse)
        for order, (from_c, below_c, fill) in enumerate(
            ((10, None, ""), (4.444, 10, "light"), (-6.667, 4.444, "medium"), (None, -6.667, "heavy"))
        ):
            make.ChartRowFactory(chart=chart, order=order, from_c=from_c, below_c=below_c, fill=fill)
    enter(desktop, cast.manager)
    desktop.goto(f"/barns/{cast.barn.slug}/charts/")
    printed = tmp_path / "charts.pdf"
    desktop.pdf(path=str(printed), format=paper)
    assert printed.read_bytes().count(b"/Type /Page\n") == 2
    assert len(re.findall("Horse ", desktop.inner_text("tbody"))) == 39
