"""The field pages in Spanish on a phone, and with every text 40 % longer: nothing runs out of the screen."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from barnrugs.barns.models import User
from barnrugs.weather.domain.source import load_year
from barnrugs.weather.overlay import demo_year
from tests.browser.conftest import DESKTOP, PHONE, PHONE_AT_NIGHT, Screen
from tests.browser.looking import Enter, sideways, violations
from tests.cast import Cast, build_cast

STRETCH = """() => {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const found = [];
  while (walker.nextNode()) found.push(walker.currentNode);
  for (const node of found) {
    const text = node.data.trim();
    if (text.length < 4 || node.parentElement.closest("script, style, svg, option")) continue;
    const more = Math.ceil(text.length * 0.4);
    node.data = node.data.trimEnd() + " " + text.slice(0, Math.max(more - 1, 1)) + " ";
  }
  return found.length;
}"""
"""Each text again by two fifths of its length, with its own word lengths: longer than any language is to English."""

CLIPPED = """() => [...document.querySelectorAll("a.btn, button.btn, .choices label, .tabs a, h1, .answer")]
  .filter(one => one.offsetParent !== null && one.scrollWidth > one.clientWidth + 1)
  .map(one => one.innerText)"""


@pytest.fixture
def cast(live_server, transactional_db) -> Cast:
    cast = build_cast()
    User.objects.update(language="es")
    load_year(cast.barn, demo_year(), name="A year")
    return cast


def pages(cast: Cast) -> dict[str, str]:
    barn, horse, blanket = f"/barns/{cast.barn.slug}", cast.owners_horse.pk, cast.owners_blanket.pk
    return {
        f"{barn}/due/": "Hecho",
        f"{barn}/tonight/": "Esta noche",
        f"{barn}/horses/{horse}/choose/": "Elegir para Bramble",
        f"{barn}/blankets/{blanket}/damage/": "Reportar daño: WNR33",
        f"{barn}/horses/{horse}/chart/change/": "Escribir la tabla de Bramble",
        f"{barn}/drying/": "Mojadas y secándose",
    }


@pytest.mark.parametrize("screen", [PHONE, PHONE_AT_NIGHT, DESKTOP], ids=str)
def test_in_spanish_and_longer_by_two_fifths_it_holds(
    open_tab: Callable[..., Page], cast: Cast, enter: Enter, screen: Screen
):
    page = open_tab(screen)
    enter(page, cast.manager)
    for address, words in pages(cast).items():
        page.goto(address)
        expect(page.get_by_text(words).first).to_be_visible()
        assert sideways(page) == 0, address
        assert violations(page) == [], address
        assert page.evaluate(STRETCH) > 20
        assert sideways(page) == 0, f"{address} stretched"
        assert page.evaluate(CLIPPED) == [], f"{address} stretched"


def test_the_stretching_can_fail(open_tab: Callable[..., Page], cast: Cast, enter: Enter):
    """A button that may not wrap does run out: so the check above looks at something."""
    page = open_tab(PHONE)
    enter(page, cast.manager)
    page.goto(f"/barns/{cast.barn.slug}/blankets/{cast.owners_blanket.pk}/damage/")
    page.evaluate(STRETCH)
    page.locator("button.btn").first.evaluate(
        "one => { one.style.whiteSpace = 'nowrap'; one.innerText += 'x'.repeat(90) }"
    )
    assert sideways(page) > 0 or page.evaluate(CLIPPED) != []
