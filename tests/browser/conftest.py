import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request, expect
from pytest_django.live_server_helper import LiveServer

from barnrugs.barns.models import Person
from tests.browser.looking import Enter

HERE = Path(__file__).parent
CHROMIUM = shutil.which("chromium")
QUIET = (
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-domain-reliability",
    "--disable-dev-shm-usage",
    "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1 , EXCLUDE localhost",
)


# A busy machine draws late; what never comes is still told.
expect.set_options(timeout=20_000)


@dataclass(frozen=True)
class Screen:
    name: str
    width: int
    height: int
    scheme: str

    def __str__(self) -> str:
        return f"{self.name}-{self.scheme}"


PHONE = Screen("phone", 360, 740, "light")
PHONE_AT_NIGHT = Screen("phone", 360, 740, "dark")
DESKTOP = Screen("desktop", 1280, 800, "light")
DESKTOP_AT_NIGHT = Screen("desktop", 1280, 800, "dark")
SCREENS = (PHONE_AT_NIGHT, DESKTOP) if settings.HARNESS < 1 else (PHONE, PHONE_AT_NIGHT, DESKTOP, DESKTOP_AT_NIGHT)
"""Each size and each scheme once; every pair of them where the heavy tests run whole."""


@dataclass
class Complaints:
    """What the browser held against our pages. A test that provokes one says so with allow()."""

    home: str
    heard: list[str] = field(default_factory=list)
    # Only the tests without signal let the worker in; elsewhere the driver blocks it and says so.
    allowed: list[str] = field(default_factory=lambda: ["Service Worker registration blocked"])

    def allow(self, text: str) -> None:
        self.allowed.append(text)

    def unexpected(self) -> list[str]:
        return [line for line in self.heard if not any(text in line for text in self.allowed)]

    def console(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            self.heard.append(f"console {message.type}: {message.text} ({message.location.get('url', '')})")

    def request(self, request: Request) -> None:
        parts = urlsplit(request.url)
        if parts.scheme in {"http", "https"} and parts.netloc != self.home:
            self.heard.append(f"asked another host: {request.url}")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A busy machine makes a browser late now and then: CI runs such a test once more, and its report says so."""
    for item in items:
        if item.path.is_relative_to(HERE):
            item.add_marker("browser")
            if os.environ.get("CI") == "true":
                item.add_marker(pytest.mark.flaky(reruns=1))


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, Any]:
    if CHROMIUM is None:
        if os.environ.get("CI") == "true":
            pytest.fail("there is no Chromium here, and CI may not go without the browser tests")
        pytest.skip("there is no Chromium here (Debian: apt-get install chromium)")
    alone = ["--no-sandbox"] if os.geteuid() == 0 else []
    return {"executable_path": CHROMIUM, "headless": True, "args": [*QUIET, *alone]}


@pytest.fixture(scope="session", autouse=True)
def playwright_and_django_share_a_thread() -> Iterator[None]:
    """The driver's event loop runs in this thread until the session ends; Django would object to the database there."""
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    yield
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def complaints(live_server: LiveServer) -> Iterator[Complaints]:
    found = Complaints(home=urlsplit(live_server.url).netloc)
    yield found
    assert found.unexpected() == []


@pytest.fixture
def open_tab(browser: Browser, live_server: LiveServer, complaints: Complaints) -> Iterator[Callable[..., Page]]:
    """open_tab(screen) is a browser of its own: its cookies are nobody else's."""
    opened: list[BrowserContext] = []

    def open_one(screen: Screen = PHONE, **options: Any) -> Page:
        context = browser.new_context(
            base_url=live_server.url,
            viewport={"width": screen.width, "height": screen.height},
            color_scheme=screen.scheme,
            locale="en-US",
            service_workers="block",
            **options,
        )
        context.set_default_timeout(10_000)
        opened.append(context)
        page = context.new_page()
        page.on("console", complaints.console)
        page.on("pageerror", lambda error: complaints.heard.append(f"script error: {error}"))
        page.on("request", complaints.request)
        return page

    yield open_one
    for context in opened:
        context.close()


@pytest.fixture
def enter(live_server: LiveServer) -> Enter:
    """Lets a person in without the sign-in page, which has tests of its own.

    The page at hand is left first: a page of one person does not go on asking with the cookie of another.
    """

    def come_in(page: Page, person: Person) -> None:
        page.goto("about:blank")
        client = Client()
        client.force_login(person.user)
        value = client.cookies[settings.SESSION_COOKIE_NAME].value
        page.context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": value, "url": live_server.url}])

    return come_in


@pytest.fixture(params=SCREENS, ids=str)
def screen(request: pytest.FixtureRequest) -> Screen:
    return request.param


@pytest.fixture
def page(open_tab: Callable[..., Page], screen: Screen) -> Page:
    """The same test on both sizes and in both schemes."""
    return open_tab(screen)


@pytest.fixture
def phone(open_tab: Callable[..., Page]) -> Page:
    return open_tab(PHONE)


@pytest.fixture
def desktop(open_tab: Callable[..., Page]) -> Page:
    return open_tab(DESKTOP)
