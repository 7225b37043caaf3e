"""A new barn in a real browser: from the code on the slip to its first horse, and every page on the way looked at."""

from collections.abc import Callable

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from barnrugs.barns.domain import house, invitations
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from tests.browser.conftest import Screen
from tests.browser.looking import enlarge_text, sideways, violations

CODE = "ABCD-EFGH-JKMN-PQRS-TUVW"
PASSWORD = "a wet coat dries slowly"
PAGES = ("first-steps/", "barn/", "barn/rules/", "barn/times/", "people/", "people/new/")


@pytest.fixture
def manager(live_server, transactional_db) -> Person:
    new = house.NewBarn(name="Hollow Farm", slug="hollow", time_zone="Europe/Oslo", units="metric")
    made = house.make_barn(new, manager_name="Kim", user=None)
    invitations.invite(made, code=CODE, actor=Actor(person=made))
    return made


def come_in(page: Page) -> None:
    page.goto("/come-in/")
    page.get_by_label("Code of the invitation").fill(CODE.lower())
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("Name to sign in with").fill("kim")
    page.get_by_label("Password", exact=False).first.fill(PASSWORD)
    page.get_by_label("The password again").fill(PASSWORD)
    page.get_by_role("button", name="Come in").click()


def test_from_the_slip_to_the_first_horse(phone: Page, manager: Person):
    come_in(phone)
    expect(phone.get_by_role("heading", level=1)).to_have_text("First steps")
    phone.get_by_role("link", name="Next: House rules").click()
    phone.get_by_role("button", name="Save the house rules").click()
    phone.get_by_role("link", name="Go on with the first steps").click()
    phone.get_by_role("link", name="Next: Staffed times").click()
    phone.get_by_label("Turnout").fill("06:30")
    phone.get_by_role("button", name="Save the times").click()
    phone.goto("/barns/hollow/first-steps/")
    phone.get_by_role("link", name="Next: Paddocks").click()
    phone.get_by_role("link", name="Add the first paddock").click()
    phone.get_by_label("Name").fill("Brook Field")
    phone.get_by_role("radio", name="Run-in shed").check()
    phone.get_by_role("button", name="Add the paddock").click()
    phone.goto("/barns/hollow/first-steps/")
    phone.get_by_role("link", name="Next: Horses").click()
    phone.get_by_role("link", name="Add the first horse").click()
    phone.get_by_label("Name").fill("Juniper")
    phone.get_by_role("button", name="Add the horse").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Juniper")
    phone.get_by_role("link", name="Measure Juniper").click()
    phone.get_by_label("Chest to tail").fill("198")
    phone.get_by_role("button", name="Save the measurement").click()
    expect(phone.locator("#size")).to_contain_text("given as 198")
    phone.goto("/barns/hollow/first-steps/")
    expect(phone.get_by_text("done", exact=True)).to_have_count(5)


def test_every_page_passes_the_scan(page: Page, manager: Person):
    come_in(page)
    for address in PAGES:
        page.goto(f"/barns/hollow/{address}")
        expect(page.get_by_role("heading", level=1)).to_have_count(1)
        assert violations(page) == [], address
    page.goto("/account/")
    assert violations(page) == []


def test_public_pages_pass_the_scan(page: Page, manager: Person):
    for address in ("/come-in/", f"/come-in/{CODE}/"):
        page.goto(address)
        assert violations(page) == [], address


def test_narrow_screen_and_large_text(open_tab: Callable[..., Page], manager: Person):
    page = open_tab(Screen("narrow", 320, 640, "light"))
    come_in(page)
    for address in PAGES:
        page.goto(f"/barns/hollow/{address}")
        assert sideways(page) == 0, address
        enlarge_text(page)
        assert sideways(page) == 0, address


def test_the_slip_holds_code_address_and_picture(phone: Page, manager: Person):
    come_in(phone)
    phone.goto("/barns/hollow/people/new/")
    phone.get_by_label("Name").fill("Robin")
    phone.get_by_role("checkbox", name="Staff").check()
    phone.get_by_role("button", name="Add this person").click()
    phone.get_by_role("button", name="Make the invitation").click()
    expect(phone.locator(".slip svg")).to_be_visible()
    assert violations(phone) == []
    assert sideways(phone) == 0
    code = phone.locator(".code").inner_text()
    assert invitations.find(code, timezone.now()).person.name == "Robin"
