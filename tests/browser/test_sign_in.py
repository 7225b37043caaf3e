from collections.abc import Callable

import pytest
from django.contrib.auth import get_user_model
from playwright.sync_api import Page, expect

from tests.browser.conftest import Complaints, Screen
from tests.browser.looking import enlarge_text, sideways, smaller_than, violations

PASSWORD = "hay-net-by-the-door"
PUBLIC_PAGES = ("/account/login/", "/account/password/reset/", "/account/password/reset/done/", "/account/signup/")
OWN_PAGES = (
    "/account/password/change/",
    "/account/email/",
    "/account/second-step/",
    "/account/reauthenticate/",
    "/account/logout/",
)


@pytest.fixture
def groom(live_server):
    return get_user_model().objects.create_user("wren", password=PASSWORD)


def sign_in(page: Page, password: str = PASSWORD) -> None:
    page.goto("/account/login/?next=/account/logout/")
    page.get_by_label("Username or e-mail").fill("wren")
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in").click()


@pytest.mark.parametrize("address", PUBLIC_PAGES)
def test_public_pages_pass_the_scan(page: Page, address: str):
    page.goto(address)
    expect(page.get_by_role("heading", level=1)).to_have_count(1)
    assert violations(page) == []


def test_own_pages_pass_the_scan(page: Page, groom):
    sign_in(page)
    for address in OWN_PAGES:
        page.goto(address)
        expect(page.get_by_role("heading", level=1)).to_have_count(1)
        assert violations(page) == [], address


def test_a_page_that_is_not_there(page: Page, complaints: Complaints):
    complaints.allow("404")
    page.goto("/no-such-page/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Nothing here")
    assert violations(page) == []


def test_signing_in_and_out(page: Page, groom):
    sign_in(page)
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign out?")
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    page.goto("/account/password/change/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")


def test_a_wrong_password_is_said_and_the_name_stays(phone: Page, groom):
    sign_in(phone, "not-the-password")
    expect(phone.get_by_role("alert")).to_contain_text("not correct")
    expect(phone.get_by_label("Username or e-mail")).to_have_value("wren")
    assert violations(phone) == []


def test_without_script(open_tab: Callable[..., Page], groom):
    page = open_tab(java_script_enabled=False)
    sign_in(page)
    expect(page.get_by_role("button", name="Sign out")).to_be_visible()


@pytest.mark.parametrize("address", PUBLIC_PAGES)
def test_narrow_screen_and_large_text(open_tab: Callable[..., Page], address: str):
    page = open_tab(Screen("narrow", 320, 640, "light"))
    page.goto(address)
    assert sideways(page) == 0
    enlarge_text(page)
    assert sideways(page) == 0


def test_the_main_button_is_96_pixels_high(phone: Page):
    phone.goto("/account/login/")
    assert smaller_than(phone, ".btn-field", 96) == []


def test_the_keyboard_reaches_the_page_past_the_header(desktop: Page):
    desktop.goto("/account/login/")
    desktop.keyboard.press("Tab")
    skip = desktop.get_by_role("link", name="Skip to the page")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    desktop.keyboard.press("Enter")
    expect(desktop.locator("#main")).to_be_focused()


def test_the_collector_hears_what_it_should(phone: Page, complaints: Complaints):
    """The collector is itself checked: script that the policy forbids, and an error, must both be heard."""
    phone.goto("/account/login/")
    phone.evaluate(
        "() => { const s = document.createElement('script'); s.textContent = '1'; document.head.append(s); }"
    )
    phone.evaluate("() => { setTimeout(() => { throw new Error('thrown on purpose'); }) }")
    phone.wait_for_timeout(200)
    heard = "\n".join(complaints.unexpected())
    assert "Content Security Policy" in heard
    assert "thrown on purpose" in heard
    complaints.allow("Content Security Policy")
    complaints.allow("thrown on purpose")
