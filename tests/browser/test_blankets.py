"""The inventory in a real browser: the camera's picture shrunk on the phone, labels on paper, questions in two taps."""

import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from inventory import tags
from inventory.enums import CareKind, Keeping, Kind
from inventory.models import Blanket, Picture
from tests import factories as make
from tests.browser.conftest import DESKTOP, Complaints, Screen
from tests.browser.looking import Enter, boxes, enlarge_text, sideways, smaller_than, violations
from tests.cast import Cast, build_cast
from tests.inventory.forms import picture_file


@pytest.fixture
def stable(live_server: LiveServer) -> Cast:
    """The cast, in the database that the live server reads."""
    return build_cast()


def photo(folder: Path) -> Path:
    """Lying on its side as phones keep them, four thousand points wide, with the place it was taken."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8825).update({1: "N", 2: (61.0, 13.0, 5.0)})
    image = Image.new("RGB", (4000, 3000), (90, 20, 20))
    path = folder / "IMG_0001.jpg"
    image.save(path, exif=exif, quality=95)
    return path


CHOSEN = """async () => {
    const file = document.querySelector("input[type=file]").files[0];
    const bitmap = await createImageBitmap(file, {imageOrientation: "none"});
    const text = new TextDecoder("latin1").decode(await file.arrayBuffer());
    return {name: file.name, width: bitmap.width, height: bitmap.height, exif: text.includes("Exif")};
}"""


def test_a_cameras_picture_is_made_smaller_on_the_phone(phone: Page, stable: Cast, enter: Enter, tmp_path: Path):
    enter(phone, stable.staff)
    phone.goto(f"/barns/home/blankets/{stable.owners_blanket.pk}/")
    phone.get_by_role("link", name="Add a picture").click()
    phone.get_by_label("Picture").set_input_files(photo(tmp_path))
    expect(phone.locator("canvas.preview")).to_be_visible()
    expect(phone.get_by_label("Picture")).to_have_attribute("data-ready", "yes")
    assert phone.evaluate(CHOSEN) == {"name": "picture.jpg", "width": 1200, "height": 1600, "exif": False}
    phone.get_by_role("button", name="Keep the picture").click()
    expect(phone.locator("#messages")).to_contain_text("The picture is kept.")
    shown = phone.locator(".shots img").first
    size = shown.evaluate("image => image.decode().then(() => [image.naturalWidth, image.naturalHeight])")
    assert size == [1200, 1600]
    assert Picture.objects.get().taken_by == stable.staff
    assert violations(phone) == []


def test_without_script_the_server_does_the_same(
    open_tab: Callable[..., Page], stable: Cast, enter: Enter, tmp_path: Path
):
    page = open_tab(java_script_enabled=False)
    enter(page, stable.owner)
    page.goto("/barns/home/blankets/add/")
    page.get_by_label("Kind").select_option("turnout")
    page.get_by_label("Waterproofing").select_option("waterproof")
    page.get_by_label("Fill, grams per square metre").fill("200")
    page.get_by_label("Size, as on the label").fill("6'6")
    page.get_by_label("Picture").set_input_files(photo(tmp_path))
    page.get_by_role("button", name="Save the blanket").click()
    expect(page.locator("#messages")).to_contain_text("The blanket is saved.")
    kept = Picture.objects.get()
    assert (kept.width, kept.height, kept.blanket.owner) == (1200, 1600, stable.owner)


def test_what_is_no_picture_is_said_and_the_blanket_is_saved(phone: Page, stable: Cast, enter: Enter, tmp_path: Path):
    enter(phone, stable.manager)
    (tmp_path / "tear.jpg").write_text("<svg onload='alert(1)'/>")
    phone.goto("/barns/home/blankets/add/")
    phone.get_by_label("Kind").select_option("stable")
    phone.get_by_label("Waterproofing").select_option("none")
    phone.get_by_label("Fill, grams per square metre").fill("0")
    phone.get_by_label("Picture").set_input_files(tmp_path / "tear.jpg")
    phone.get_by_role("button", name="Save the blanket").click()
    expect(phone.locator("#messages")).to_contain_text("Its picture could not be kept: This file is no picture")
    assert Blanket.objects.filter(kind=Kind.STABLE).count() == 1


@pytest.fixture
def answers(stable: Cast) -> Cast:
    """What the questions are about: a picture, a lost one, one to wash."""
    make.PictureFactory(blanket=stable.worn, taken_by=stable.staff)
    make.PlacingFactory(blanket=stable.barn_blanket, kind=Keeping.LOST, since=timezone.now())
    make.CareJobFactory(blanket=stable.owners_liner, kind=CareKind.WASH, reported_by=stable.staff)
    return stable


def first_page(page: Page) -> None:
    page.goto("/barns/home/")


def tap(page: Page, name: str) -> None:
    page.get_by_role("link", name=name, exact=True).click()


class TestQuestionsInTwoTaps:
    """From the first page of the person who asks; the numbers are those of the barn's twenty-five questions."""

    def row(self, page: Page, tag: str):
        return page.get_by_role("listitem").filter(has_text=tag)

    def test_5_which_is_that_horses_medium(self, phone: Page, answers: Cast, enter: Enter):
        Picture.objects.all().delete()
        enter(phone, answers.staff)
        first_page(phone)
        tap(phone, "Blankets")
        tap(phone, "By horse")
        row = self.row(phone, "WRN22")
        expect(row).to_contain_text("Bramble")
        expect(row).to_contain_text("Turnout, medium, 200 g")

    def test_6_may_this_one_go_outside(self, phone: Page, answers: Cast, enter: Enter):
        enter(phone, answers.staff)
        first_page(phone)
        tap(phone, "Blankets")
        tap(phone, "WNR33")
        expect(phone.locator("#main")).to_contain_text("May go outside, in rain too.")

    def test_18_where_is_it(self, phone: Page, answers: Cast, enter: Enter):
        enter(phone, answers.manager)
        first_page(phone)
        tap(phone, "Blankets")
        tap(phone, "Not here")
        expect(self.row(phone, "BRN88")).to_contain_text("Lost")

    def test_18_where_is_mine(self, phone: Page, answers: Cast, enter: Enter):
        enter(phone, answers.owner)
        first_page(phone)
        tap(phone, "Blankets")
        expect(self.row(phone, "WRN22")).to_contain_text("On Bramble")
        expect(self.row(phone, "WNR33")).to_contain_text("Rack 3")

    def test_19_last_washed_and_due(self, phone: Page, answers: Cast, enter: Enter):
        enter(phone, answers.manager)
        first_page(phone)
        tap(phone, "Blankets")
        tap(phone, "LNR44")
        expect(phone.locator("#main")).to_contain_text("Wash due; no wash is on record")
        phone.goto("/barns/home/blankets/")
        tap(phone, "Wash due")
        assert {row.inner_text() for row in phone.locator(".blanket-row .tag").all()} == {"LNR44", "THR55"}


def test_typing_a_tag_and_a_wrong_one(phone: Page, stable: Cast, enter: Enter):
    blanket = make.BlanketFactory(barn=stable.barn, tag=tags.tag("AB22"))
    enter(phone, stable.staff)
    phone.goto("/barns/home/tag/")
    phone.get_by_label("Tag").fill("ab o2x")
    phone.get_by_role("button", name="Open the blanket").click()
    expect(phone.locator("#main")).to_contain_text("Tags have no letter O: look at character 3")
    assert violations(phone) == []
    phone.get_by_label("Tag").fill(blanket.tag.lower())
    phone.get_by_role("button", name="Open the blanket").click()
    expect(phone.get_by_role("heading", level=1)).to_contain_text(blanket.tag)


def test_a_scanned_label_leads_through_signing_in(phone: Page, stable: Cast):
    stable.staff.user.set_password("hay-net-by-the-door")
    stable.staff.user.save()
    phone.goto(f"/t/{stable.barn.pk}/{stable.worn.tag}")
    phone.locator("#id_login").fill("staff")
    phone.locator("#id_password").fill("hay-net-by-the-door")
    phone.get_by_role("button", name="Sign in").click()
    expect(phone.get_by_role("heading", level=1)).to_contain_text("WRN22")
    expect(phone.get_by_role("button", name="Take it off Bramble, dry")).to_be_visible()


POINTS_PER_MM = 72 / 25.4


@pytest.mark.parametrize(("paper", "width", "height"), [("letter", 612, 792), ("a4", 210 / 25.4 * 72, 297 / 25.4 * 72)])
def test_labels_on_paper(desktop: Page, stable: Cast, enter: Enter, paper: str, width: float, height: float):
    """Paper sizes: US letter 8.5 by 11 in; A4 210 by 297 mm, ISO 216 (both from memory)."""
    blankets = make.BlanketFactory.create_batch(12, barn=stable.barn, usual_horse=stable.owners_horse)
    enter(desktop, stable.manager)
    desktop.goto("/barns/home/tags/?horse=" + str(stable.owners_horse.pk))
    desktop.get_by_role("radio", name={"letter": "Letter", "a4": "A4"}[paper]).check()
    desktop.get_by_role("button", name="Show the labels of those ticked").click()
    expect(desktop.locator(".label")).to_have_count(len(blankets) + 3)
    desktop.emulate_media(media="print")
    boxes = [label.bounding_box() for label in desktop.locator(".label").all()]
    assert {(round(box["width"] * 25.4 / 96), round(box["height"] * 25.4 / 96)) for box in boxes} == {(95, 50)}
    assert desktop.evaluate(OVERFLOWING) == []
    pdf = desktop.pdf(prefer_css_page_size=True)
    pages = [[float(side) for side in box.split()] for box in re.findall(rb"/MediaBox \[([\d. ]+)\]", pdf)]
    assert len(pages) == 2
    for left, bottom, right, top in pages:
        assert (left, bottom, right, top) == pytest.approx((0, 0, width, height), abs=1)


OVERFLOWING = """() => [...document.querySelectorAll(".label .words")]
    .filter((words) => words.scrollHeight > words.clientHeight + 1 || words.scrollWidth > words.clientWidth + 1)
    .map((words) => words.textContent)"""


def test_a_long_name_stays_on_its_label(desktop: Page, stable: Cast, enter: Enter):
    horse = make.HorseFactory(barn=stable.barn, name="Wolfeschlegelsteinhausenbergerdorff of the Farther Meadow")
    blanket = make.BlanketFactory(barn=stable.barn, usual_horse=horse, tag="WWWWW", kind=Kind.EXERCISE_SHEET)
    enter(desktop, stable.manager)
    desktop.goto(f"/barns/home/labels/?b={blanket.pk}")
    desktop.emulate_media(media="print")
    desktop.wait_for_load_state("networkidle")
    label, *parts = boxes(desktop, ".label", ".label .tag", ".label .rest")
    for part in parts:
        assert part["right"] <= label["right"]
        assert part["bottom"] <= label["bottom"]


@pytest.fixture
def addresses(stable: Cast) -> list[str]:
    """Every page of the inventory, with something on it."""
    kept = make.PictureFactory(blanket=stable.owners_blanket, taken_by=stable.owner)
    make.SavedViewFactory(person=stable.manager, name="Wash before spring")
    make.CareJobFactory(blanket=stable.worn, kind=CareKind.REPAIR, part="strap", do_not_use=True)
    pk = stable.owners_blanket.pk
    return [
        "/barns/home/blankets/",
        "/barns/home/blankets/?fill=medium&kind=turnout&size=12",
        "/barns/home/blankets/?q=purple",
        f"/barns/home/blankets/{pk}/",
        f"/barns/home/blankets/{stable.worn.pk}/",
        "/barns/home/blankets/add/",
        f"/barns/home/blankets/{pk}/change/",
        f"/barns/home/blankets/{pk}/retire/",
        f"/barns/home/blankets/{pk}/picture/",
        f"/barns/home/pictures/{kept.pk}/remove/",
        "/barns/home/views/save/?wet=soaked",
        "/barns/home/tag/",
        "/barns/home/tags/",
        f"/barns/home/labels/?b={pk}",
    ]


def test_every_page_passes_the_scan(
    page: Page, stable: Cast, enter: Enter, addresses: list[str], complaints: Complaints
):
    out = io.BytesIO(picture_file().read())
    for path in Path(Picture.objects.get().path), Path(Picture.objects.get().small_path):
        replace_file(path, out.getvalue())
    enter(page, stable.manager)
    for address in addresses:
        page.goto(address)
        expect(page.get_by_role("heading", level=1)).to_have_count(1)
        assert violations(page) == [], address


def replace_file(path: Path, data: bytes) -> None:
    from django.core.files.storage import default_storage

    with default_storage.open(str(path), "wb") as file:
        file.write(data)


def test_every_page_holds_on_a_narrow_screen_with_large_text(
    open_tab: Callable[..., Page], stable: Cast, enter: Enter, addresses: list[str]
):
    page = open_tab(Screen("narrow", 320, 640, "light"))
    enter(page, stable.manager)
    for address in addresses:
        page.goto(address)
        assert sideways(page) == 0, address
        enlarge_text(page)
        assert sideways(page) == 0, address


def test_what_staff_tap_is_large(phone: Page, stable: Cast, enter: Enter):
    enter(phone, stable.staff)
    phone.goto(f"/barns/home/blankets/{stable.worn.pk}/")
    assert smaller_than(phone, ".btn-field", 96) == []
    phone.goto("/barns/home/blankets/")
    assert smaller_than(phone, ".blanket-row", 64) == []


def test_two_people_change_one_blanket(open_tab: Callable[..., Page], stable: Cast, enter: Enter):
    first, second = open_tab(DESKTOP), open_tab()
    enter(first, stable.manager)
    enter(second, stable.owner)
    for page in (first, second):
        page.goto(f"/barns/home/blankets/{stable.owners_blanket.pk}/change/")
    first.get_by_label("Fill, grams per square metre").fill("250")
    first.get_by_role("button", name="Save the changes").click()
    second.get_by_label("Note").fill("New surcingle in March")
    second.get_by_role("button", name="Save the changes").click()
    expect(second.get_by_role("alert")).to_contain_text("Manager changed this while you were writing")
    expect(second.get_by_label("Note")).to_have_value("New surcingle in March")
    expect(second.get_by_label("Fill, grams per square metre")).to_have_value("250")
    assert violations(second) == []
    second.get_by_role("button", name="Save the changes").click()
    stable.owners_blanket.refresh_from_db()
    assert (stable.owners_blanket.fill_g, stable.owners_blanket.note) == (250, "New surcingle in March")
