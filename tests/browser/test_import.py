"""A manager brings a list in: faults by line and column, a word explained, a bar that fills with and without script."""

from collections.abc import Callable
from pathlib import Path

import pytest
from django.test import Client
from playwright.sync_api import Page, expect

from barnrugs.barns.journal import Actor
from barnrugs.weather import shipped
from inventory.domain import import_columns as columns
from inventory.domain import imports as domain
from inventory.enums import ImportWhat
from inventory.models import Blanket, ImportRun
from inventory.sheets.table import Line, Table
from tests import factories as make
from tests.browser.conftest import PHONE, Complaints, Screen
from tests.browser.looking import Enter, enlarge_text, sideways, violations
from tests.cast import Cast, build_cast
from tests.inventory import sheets
from tests.weather import files

HEAD = ["Rug", "Inches", "Fill", "Waterproof", "Owner"]
LIST = [
    ["Example Barn's rugs, autumn"],
    HEAD,
    ["Turnout", "78", "medium", "yes", "Owner"],
    ["Turnout", "6'9", "200g", "yes", "Owner"],
    ["Stable rug", "400", "300", "", ""],
]


@pytest.fixture
def cast(live_server, transactional_db) -> Cast:
    return build_cast()


@pytest.fixture
def workbook(tmp_path: Path) -> Path:
    path = tmp_path / "rugs.xlsx"
    path.write_bytes(sheets.book(LIST))
    return path


def send(page: Page, path: Path) -> None:
    page.goto("/barns/home/imports/send/blankets/")
    page.get_by_label("Spreadsheet").set_input_files(path)
    page.get_by_role("button", name="Look through it").click()


def test_a_list_with_faults(phone: Page, cast: Cast, enter: Enter, workbook: Path):
    before = Blanket.objects.count()
    enter(phone, cast.manager)
    send(phone, workbook)
    expect(phone.get_by_role("heading", level=1)).to_have_text("What is in which column")
    phone.get_by_label("Column B: Inches").select_option(label="Size")
    phone.get_by_role("button", name="Look through it").click()
    expect(phone.locator(".answer")).to_have_text("1 to add, 0 to change, 0 without change, 2 with faults")
    expect(phone.locator("main")).to_contain_text("In column C, Fill: “medium” is a word: how many grams is it?")
    expect(phone.locator("main")).to_contain_text("In column B, Inches:")
    phone.get_by_label("Fill, g: “medium”").fill("200")
    phone.get_by_role("button", name="Save, and look through it again").click()
    expect(phone.locator(".answer")).to_have_text("2 to add, 0 to change, 0 without change, 1 with faults")
    assert Blanket.objects.count() == before
    phone.get_by_role("button", name="Bring in 2 lines").click()
    expect(phone.locator(".answer")).to_have_text("2 added, 0 changed, 0 refused, 1 left out for faults")
    assert Blanket.objects.count() == before + 2


def a_long_list(cast: Cast, lines: int) -> ImportRun:
    table = Table((Line(1, tuple(HEAD)), *(Line(n + 2, ("Liner", str(60 + n % 40), "100")) for n in range(lines))))
    sent = domain.Sent("long.csv", "0" * 64, cast.manager.key)
    run = domain.begin(table, what=ImportWhat.BLANKETS, sent=sent, actor=Actor(cast.manager))
    domain.stage(run, table)
    fields = ["kind", "size", "fill_g", "", ""]
    return columns.set_columns(run, fields=fields, choices={"twins": "each"}, actor=Actor(cast.manager))


@pytest.mark.parametrize("script", [True, False])
def test_a_long_list_with_and_without_script(
    open_tab: Callable[..., Page], cast: Cast, enter: Enter, script: bool, monkeypatch: pytest.MonkeyPatch
):
    """With script the bar fills by itself; without, a button goes on. Leaving and coming back loses nothing."""
    monkeypatch.setattr("inventory.pace.TURN", 0.01)
    monkeypatch.setattr("inventory.pace.STEP", 0.01)
    run = a_long_list(cast, 900)
    before = Blanket.objects.count()
    page = open_tab(PHONE, java_script_enabled=script)
    enter(page, cast.manager)
    page.goto(f"/barns/home/imports/{run.pk}/")
    press_until(page, ".answer", "900 to add", script)
    page.get_by_role("button", name="Bring in 900 lines").click()
    press_until(page, ".answer", "900 added", script)
    assert Blanket.objects.count() == before + 900


def press_until(page: Page, selector: str, words: str, script: bool) -> None:
    """Without script the button is pressed as often as it is there."""
    if not script:
        for _press in range(20):
            if words in page.locator(selector).inner_text():
                break
            assert page.get_by_role("progressbar").count() == 1
            page.get_by_role("button", name="Go on").click()
    expect(page.locator(selector)).to_contain_text(words)


def test_a_file_that_is_no_list(phone: Page, cast: Cast, enter: Enter, tmp_path: Path, complaints: Complaints):
    complaints.allow("400")
    path = tmp_path / "rugs.xls"
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600)
    enter(phone, cast.manager)
    send(phone, path)
    expect(phone.locator("main")).to_contain_text("an old kind of workbook (.xls)")
    assert violations(phone) == []


def test_a_weather_file(phone: Page, cast: Cast, enter: Enter, tmp_path: Path, complaints: Complaints):
    complaints.allow("400")
    rows = list(files.lines(shipped.ALASKA))
    good = files.write(rows, tmp_path / "coast.csv")
    rows[9] += ",1"
    bad = files.write(rows, tmp_path / "broken.csv")
    enter(phone, cast.manager)
    phone.goto("/barns/home/weather/")
    phone.get_by_role("link", name="Load a weather file").click()
    phone.get_by_label("Weather file").set_input_files(bad)
    phone.get_by_role("button", name="Load it").click()
    expect(phone.get_by_role("listitem").filter(has_text="line 10: 69 columns instead of 68")).to_have_count(1)
    phone.get_by_label("Weather file").set_input_files(good)
    phone.get_by_role("button", name="Load it").click()
    expect(phone.locator("#messages")).to_contain_text("coast.csv is the barn's weather now.")
    expect(phone.locator("main")).to_contain_text("8504")


@pytest.fixture
def addresses(cast: Cast) -> list[str]:
    """Every page of lists and weather, each in a state that shows all it can."""
    unknown = {"code": "unknown_precip", "hours": 8760, "why": [["missing", 4380]]}
    for name in ("Old coast", "New coast"):
        make.WeatherSourceFactory(barn=cast.barn, name=name, utc_offset_h=-5, notes=[unknown])
    waiting = a_long_list(cast, 3)
    client = Client()
    client.force_login(cast.manager.user)
    client.post(
        "/barns/home/imports/send/blankets/",
        {"once": "00000000-0000-4000-8000-000000000001", "file": sheets.xlsx_file(LIST)},
    )
    faulty = ImportRun.objects.latest("pk")
    fields = ["kind", "size", "fill_g", "waterproofing", "owner"]
    columns.set_columns(faulty, fields=fields, choices={}, actor=Actor(cast.manager))
    domain.check_chunk(faulty)
    client.post(
        "/barns/home/imports/send/horses/",
        {
            "once": "00000000-0000-4000-8000-000000000002",
            "file": sheets.csv_file([["Name", "Stall"], ["Bramble", "1"], ["Example Fern", "2"]]),
        },
    )
    done = ImportRun.objects.latest("pk")
    domain.confirm(done, good=2, actor=Actor(cast.manager))
    domain.write_chunk(done, now=Actor(cast.manager).now)
    pages = ["imports/", "imports/send/horses/", "exports/", "weather/", "weather/send/"]
    pages += [f"imports/{run.pk}/" for run in (waiting, faulty, done)] + [f"imports/{faulty.pk}/columns/"]
    return [f"/barns/home/{page}" for page in pages]


def standing_still(page: Page) -> None:
    """The list on its way does not go on, so that its page can be looked at."""
    page.route("**/go-on/", lambda route: route.fulfill(status=204))


def test_every_page_passes_the_scan(page: Page, cast: Cast, enter: Enter, addresses: list[str]):
    enter(page, cast.manager)
    standing_still(page)
    for address in addresses:
        page.goto(address)
        expect(page.get_by_role("heading", level=1)).to_have_count(1)
        assert violations(page) == [], address


def test_every_page_holds_on_a_narrow_screen_with_large_text(
    open_tab: Callable[..., Page], cast: Cast, enter: Enter, addresses: list[str]
):
    page = open_tab(Screen("narrow", 320, 640, "light"))
    enter(page, cast.manager)
    standing_still(page)
    for address in addresses:
        page.goto(address)
        assert sideways(page) == 0, address
        enlarge_text(page)
        assert sideways(page) == 0, address
