"""A staff phone with a service worker behind a wire that can be cut."""

import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, BrowserContext, Page, expect
from pytest_django.live_server_helper import LiveServer

from barnrugs.barns.models import Person
from tests.browser.conftest import PHONE, Complaints
from tests.browser.cut import BEFORE, OPEN, Wire

HOME = "/barns/home/"
NOISE = ("Failed to load resource", "net::ERR", "Failed to fetch", "status of 401", "blocked by Playwright")
"""What a browser says of a cut wire."""

__all__ = ["away", "wire"]


@pytest.fixture
def wire(live_server: LiveServer) -> Iterator[Wire]:
    wire = Wire(live_server.url)
    yield wire
    wire.close()


class Away:
    """One phone: somebody is signed in on it, and its signal comes and goes."""

    def __init__(self, context: BrowserContext, wire: Wire) -> None:
        self.context, self.wire = context, wire
        self.page = context.pages[0] if context.pages else context.new_page()

    def sign_in(self, person: Person) -> None:
        client = Client()
        client.force_login(person.user)
        value = client.cookies[settings.SESSION_COOKIE_NAME].value
        self.context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": value, "url": self.wire.url}])

    def visit(self, path: str = "due/", *, whole: bool = True) -> Page:
        """With signal, until the worker rules and the pages of the day are kept."""
        self.page.goto(f"{self.wire.url}{HOME}{path}")
        self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        if whole:
            expect(self.page.locator("html[data-kept=all]")).to_be_attached(timeout=120_000)
        return self.page

    def cut(self) -> None:
        self.wire.cut = BEFORE

    def signal(self) -> None:
        self.wire.cut = OPEN

    def open(self, path: str = "due/") -> Page:
        self.page.goto(f"{self.wire.url}{HOME}{path}")
        return self.page

    def queue(self) -> list[dict[str, Any]]:
        return self.page.evaluate("barnQueue.list().then((all) => all.map(({ picture, ...rest }) => rest))")

    def states(self) -> list[str]:
        return [item["state"] for item in self.queue()]

    def tap(self, line: int, name: str) -> None:
        self.page.locator(f"#line-{line}").get_by_role("button", name=re.compile(name)).click()

    def waiting(self, count: int) -> None:
        expect(self.page.locator("#queue-send")).to_have_text(f"Send now ({count})")

    def send_now(self) -> None:
        """Presses Send now, in sight or not: the phone may be sending of its own accord by then, and hides it."""
        self.page.locator("#queue-send").dispatch_event("click")

    def all_sent(self) -> None:
        expect(self.page.locator("#phone-said")).to_have_text("All sent.", timeout=40_000)


@pytest.fixture
def away(browser: Browser, wire: Wire) -> Iterator[Callable[..., Away]]:
    """away(person) is a phone of their own, with the signal on."""
    opened: list[BrowserContext] = []
    heard = Complaints(home=urlsplit(wire.url).netloc, allowed=[*NOISE])

    def phone(person: Person | None = None, **options: Any) -> Away:
        size = {"width": PHONE.width, "height": PHONE.height}
        context = browser.new_context(viewport=size, locale="en-US", **options)
        context.set_default_timeout(15_000)
        opened.append(context)
        made = Away(context, wire)
        made.page.on("console", heard.console)
        made.page.on("pageerror", lambda error: heard.heard.append(f"script error: {error}"))
        if person:
            made.sign_in(person)
        return made

    yield phone
    for context in opened:
        context.close()
    assert heard.unexpected() == [], heard.unexpected()


def shot(page: Page, name: str) -> None:
    """A picture of the page for the eye, where SHOTS names a folder."""
    if folder := os.environ.get("SHOTS"):
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=True)
