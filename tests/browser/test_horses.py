"""Horses in a real browser: found, measured, moved in the order, a rub tapped on the drawing."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from horses.queries import horse as queries
from inventory.models import FitNote
from tests.browser.conftest import Screen
from tests.browser.looking import enlarge_text, sideways, violations
from tests.cast import Cast, build_cast


@pytest.fixture
def cast(live_server, transactional_db) -> Cast:
    return build_cast()


PAGES = (
    "horses/",
    "horses/order/",
    "horses/new/",
    "horses/how-to-measure/",
    "horses/{horse}/",
    "horses/{horse}/change/",
    "horses/{horse}/measure/",
    "horses/{horse}/coat/",
    "horses/{horse}/condition/",
    "horses/{horse}/vet/",
    "horses/{horse}/presence/",
    "horses/{horse}/paddock/",
    "horses/{horse}/owners/",
    "paddocks/",
    "paddocks/new/",
    "blankets/{blanket}/fit/",
    "blankets/{blanket}/lending/",
    "blankets/{blanket}/lend/",
    "blankets/{blanket}/leave/",
)


def addresses(cast: Cast) -> list[str]:
    names = {"horse": cast.owners_horse.pk, "blanket": cast.owners_blanket.pk}
    return [f"/barns/{cast.barn.slug}/{page.format(**names)}" for page in PAGES]


def test_every_page_passes_the_scan(page: Page, cast: Cast, enter):
    enter(page, cast.manager)
    for address in addresses(cast):
        page.goto(address)
        expect(page.get_by_role("heading", level=1)).to_have_count(1)
        assert violations(page) == [], address


def test_narrow_screen_and_large_text(open_tab: Callable[..., Page], cast: Cast, enter):
    page = open_tab(Screen("narrow", 320, 640, "light"))
    enter(page, cast.manager)
    for address in addresses(cast):
        page.goto(address)
        assert sideways(page) == 0, address
        enlarge_text(page)
        assert sideways(page) == 0, address


def test_how_a_blanket_fits_is_two_taps_from_the_horses(phone: Page, cast: Cast, enter):
    """Question 22 of the practice: does it fit, any rubs, which size next."""
    enter(phone, cast.manager)
    phone.goto("/barns/home/")
    phone.get_by_role("link", name="Horses", exact=True).click()
    phone.get_by_role("link", name="Bramble").click()
    blankets = phone.locator("#blankets")
    expect(blankets).to_contain_text("tried on: fits")
    expect(phone.locator("#size")).to_contain_text('78"')


def test_a_rub_is_tapped_on_the_drawing(phone: Page, cast: Cast, enter):
    enter(phone, cast.staff)
    phone.goto(f"/barns/home/blankets/{cast.owners_blanket.pk}/fit/?horse={cast.owners_horse.pk}")
    phone.locator(".tap-withers").click()
    expect(phone.get_by_role("radio", name="1 Withers")).to_be_checked()
    phone.get_by_role("button", name="Note it").click()
    expect(phone.locator("#blankets")).to_contain_text("rubs: withers")
    assert FitNote.objects.filter(rubs_where="withers").count() == 1


def test_the_same_without_script_by_keyboard(open_tab: Callable[..., Page], cast: Cast, enter):
    page = open_tab(java_script_enabled=False)
    enter(page, cast.staff)
    page.goto(f"/barns/home/blankets/{cast.owners_blanket.pk}/fit/?horse={cast.owners_horse.pk}")
    page.get_by_role("radio", name="4 Hip").focus()
    page.keyboard.press("Space")
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("#blankets")).to_contain_text("rubs: hip")


def test_a_horse_moves_up_by_one_tap(phone: Page, cast: Cast, enter):
    enter(phone, cast.manager)
    phone.goto("/barns/home/horses/order/")
    phone.get_by_role("button", name="Cinder up").click()
    expect(phone.locator("ol.rows > li").first).to_contain_text("1. Cinder")
    assert queries.of(cast.barn).first().name == "Cinder"


def test_measuring_stands_beside_its_drawing(desktop: Page, cast: Cast, enter):
    enter(desktop, cast.owner)
    desktop.goto(f"/barns/home/horses/{cast.owners_horse.pk}/measure/")
    form = desktop.get_by_label("Chest to tail").bounding_box()
    drawing = desktop.locator("figure.band svg").first.bounding_box()
    assert form
    assert drawing
    assert drawing["x"] > form["x"] + form["width"]
    desktop.get_by_label("Chest to tail").fill("6'8")
    desktop.get_by_role("button", name="Save the measurement").click()
    expect(desktop.locator("#size")).to_contain_text("80\" (6'8)")


def test_two_people_at_one_record(open_tab: Callable[..., Page], cast: Cast, enter):
    first, second = open_tab(), open_tab()
    enter(first, cast.manager)
    enter(second, cast.owner)
    for page in (first, second):
        page.goto(f"/barns/home/horses/{cast.owners_horse.pk}/change/")
    first.get_by_label("Stall", exact=False).fill("A1")
    first.get_by_role("button", name="Save").click()
    second.get_by_label("Colour and markings").fill("bay, star")
    second.get_by_label("Stall", exact=False).fill("Z9")
    second.get_by_role("button", name="Save").click()
    expect(second.get_by_role("alert")).to_contain_text("Manager changed this while you were writing")
    expect(second.get_by_label("Stall", exact=False)).to_have_value("Z9")
    expect(second.get_by_label("Colour and markings")).to_have_value("bay, star")
    second.get_by_role("button", name="Save").click()
    expect(second.get_by_role("heading", level=1)).to_have_text("Bramble")
    cast.owners_horse.refresh_from_db()
    assert (cast.owners_horse.stall, cast.owners_horse.looks) == ("Z9", "bay, star")
