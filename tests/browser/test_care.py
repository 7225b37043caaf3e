"""Care in a real browser: two taps, the camera, a check-in broken off, statements on paper, questions."""

import re
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from inventory.domain import batches, care, damage, wearing
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, CheckOutcome, DamagedPart
from inventory.models import Batch, Blanket, CareJob, Picture, Wearing
from tests import factories as make
from tests.browser.looking import Enter, enlarge_text, sideways, smaller_than, violations
from tests.cast import Cast, build_cast
from tests.inventory.care_walks import bring, take


@pytest.fixture
def stable(live_server: LiveServer) -> Cast:
    """The cast, in the database that the live server reads."""
    return build_cast()


@pytest.fixture
def manager(stable: Cast) -> Actor:
    return Actor(stable.manager)


def tap(page: Page, name: str) -> None:
    page.get_by_role("link", name=name, exact=True).click()


class TestDamageInTwoTaps:
    def reported(self, blanket: Blanket) -> CareJob:
        return CareJob.objects.get(blanket=blanket)

    def test_from_the_blankets_page(self, phone: Page, stable: Cast, enter: Enter) -> None:
        enter(phone, stable.owner)
        phone.goto(f"/barns/home/blankets/{stable.worn.pk}/")
        tap(phone, "Damaged: do not use")
        phone.get_by_role("button", name="Buckle").click()
        expect(phone.locator("#messages")).to_contain_text("Reported.")
        job = self.reported(stable.worn)
        assert (job.part, job.do_not_use, job.on_horse) == ("buckle", True, stable.owners_horse)

    def test_from_the_horse_that_wears_it(self, phone: Page, stable: Cast, enter: Enter) -> None:
        """Staff's phones send through their own queue, so that a report without signal is not lost."""
        enter(phone, stable.staff)
        phone.goto(f"/barns/home/horses/{stable.owners_horse.pk}/")
        tap(phone, "Damaged: still usable")
        phone.get_by_role("button", name="Strap").click()
        expect(phone.get_by_text("All sent.")).to_be_visible(timeout=40_000)
        job = self.reported(stable.worn)
        assert (job.part, job.do_not_use, job.on_horse) == ("strap", False, stable.owners_horse)

    def test_what_is_missing_is_said_at_its_field_and_the_focus_goes_there(
        self, phone: Page, stable: Cast, enter: Enter
    ) -> None:
        Wearing.objects.filter(horse=stable.owners_horse).delete()
        enter(phone, stable.staff)
        phone.goto(f"/barns/home/horses/{stable.owners_horse.pk}/damage/?use=usable")
        phone.get_by_role("button", name="Strap").click()
        group = phone.get_by_role("group", name="Which blanket?")
        expect(group.get_by_role("alert")).to_have_text("Choose which blanket.")
        expect(group.get_by_role("radio").first).to_be_focused()
        expect(phone.locator("#queue-shout")).to_have_count(0)
        group.get_by_label("WRN22").check()
        phone.get_by_role("button", name="Strap").click()
        expect(phone.get_by_text("All sent.")).to_be_visible(timeout=40_000)
        assert self.reported(stable.worn).part == "strap"

    def test_with_the_cameras_picture(self, phone: Page, stable: Cast, enter: Enter, tmp_path: Path) -> None:
        exif = Image.Exif()
        exif[0x0112] = 6
        shot = tmp_path / "IMG_0001.jpg"
        Image.new("RGB", (4000, 3000), (90, 20, 20)).save(shot, exif=exif, quality=90)
        enter(phone, stable.owner)
        phone.goto(f"/barns/home/blankets/{stable.worn.pk}/damage/?use=do_not_use")
        phone.get_by_text("Add a note or a picture").click()
        phone.get_by_label("Note").fill("On the gate.")
        phone.get_by_label("Picture").set_input_files(shot)
        expect(phone.get_by_label("Picture")).to_have_attribute("data-ready", "yes")
        expect(phone.locator("canvas.preview")).to_be_visible()
        assert sideways(phone) == 0
        phone.get_by_role("button", name="Shell").click()
        expect(phone.locator("#messages")).to_contain_text("Reported.")
        move = self.reported(stable.worn).moves.get()
        assert (move.note, move.picture.width, move.picture.height) == ("On the gate.", 1200, 1600)
        assert Picture.objects.get().blanket == stable.worn

    def test_without_script(self, open_tab: Callable[..., Page], stable: Cast, enter: Enter) -> None:
        page = open_tab(java_script_enabled=False)
        enter(page, stable.owner)
        page.goto(f"/barns/home/blankets/{stable.worn.pk}/damage/")
        page.get_by_label("Leak").check()
        page.get_by_role("button", name="Still usable").click()
        expect(page.locator("#messages")).to_contain_text("Reported.")
        assert self.reported(stable.worn).kind == "waterproofing"

    def test_tiles_are_large_enough_for_a_glove(self, phone: Page, stable: Cast, enter: Enter) -> None:
        enter(phone, stable.staff)
        phone.goto(f"/barns/home/blankets/{stable.worn.pk}/damage/?use=usable")
        assert smaller_than(phone, "button[name=part]", 64) == []
        phone.goto(f"/barns/home/blankets/{stable.worn.pk}/damage/")
        assert smaller_than(phone, ".choices label", 64) == []
        assert smaller_than(phone, "button[name=use]", 96) == []


@pytest.fixture
def away(stable: Cast, manager: Actor) -> Batch:
    """Three washes at the laundry, due back yesterday."""
    jobs = [
        bring(care.ask(blanket, CareKind.WASH, actor=manager), CareStep.DECIDED, manager)
        for blanket in (stable.owners_blanket, stable.barn_blanket, stable.leased_blanket)
    ]
    made = batches.make(jobs, to_whom="Mill Lane Laundry", actor=manager)
    handed = batches.hand_over(made, actor=manager)
    yesterday = date.today() - timedelta(days=1)  # noqa: DTZ011
    Batch.objects.filter(pk=handed.pk).update(due_on=yesterday)
    CareJob.objects.filter(pk__in=[job.pk for job in jobs]).update(due_on=yesterday)
    return handed


def test_a_check_in_broken_off_goes_on_in_another_browser(
    open_tab: Callable[..., Page], stable: Cast, enter: Enter, away: Batch
) -> None:
    first = open_tab()
    enter(first, stable.manager)
    first.goto(f"/barns/home/batches/{away.pk}/")
    first.get_by_role("listitem").filter(has_text="BRN88").get_by_role("button", name="Done as asked").click()
    expect(first.get_by_role("heading", name="2 lines to check in")).to_be_visible()
    first.close()
    second = open_tab()
    enter(second, stable.manager)
    second.goto(f"/barns/home/batches/{away.pk}/")
    second.get_by_role("listitem").filter(has_text="LSD77").get_by_role("button", name="Missing").click()
    expect(second.get_by_text("Missing since")).to_be_visible()
    line = second.get_by_role("listitem").filter(has_text="WNR33")
    line.get_by_text("Cost, damage and note").click()
    line.get_by_label("Cost").fill("18,50")
    line.get_by_role("button", name="Not done").click()
    expect(second.get_by_role("heading", name="1 line to check in")).to_be_visible()
    checked = dict(away.lines.values_list("job__blanket__tag", "outcome"))
    assert checked == {"BRN88": "done", "WNR33": "not_done", "LSD77": "missing"}
    assert away.lines.get(outcome="not_done").cost == Decimal("18.50")


@pytest.fixture
def busy(stable: Cast, manager: Actor, away: Batch) -> Cast:
    """A season's worth in small: a tear out of use on a horse, a mended strap with its cost, changes, a fee rule."""
    make.FeeRuleFactory(barn=stable.barn)
    Blanket.objects.filter(pk=stable.owners_liner.pk).update(price=Decimal(100))
    strap = damage.report(stable.owners_liner, part=DamagedPart.STRAP, usable=True, actor=manager)
    take(strap, CareWord.DECIDE, manager, decision=CareDecision.HERE)
    take(strap, CareWord.DO_HERE, manager, cost=Decimal("61.37"))
    damage.report(stable.owners_liner, part=DamagedPart.SEAM, usable=True, actor=manager)
    damage.report(stable.worn, part=DamagedPart.SHELL, usable=False, actor=manager, note="On the gate.")
    other = make.BlanketFactory(barn=stable.barn, tag="SPR22")
    for number in range(3):
        at = timezone.now() - timedelta(minutes=50 - 10 * number)
        wearing.change(stable.owners_horse, to=[[other], [], [other]][number], actor=Actor(stable.staff, there_at=at))
    wash = CareJob.objects.get(lines__batch=away, blanket=stable.leased_blanket)
    batches.check_line(wash.lines.get(), outcome=CheckOutcome.MISSING, actor=manager, details=Details())
    return stable


PAGES = {
    "care": lambda world: "care/?queue=all",
    "care_job": lambda world: f"care/{CareJob.objects.get(part='shell').pk}/",
    "care_step": lambda world: f"care/{CareJob.objects.get(part='shell').pk}/fix/",
    "damage": lambda world: f"blankets/{world.worn.pk}/damage/",
    "tiles": lambda world: f"blankets/{world.worn.pk}/damage/?use=usable",
    "drying": lambda world: "drying/",
    "batches": lambda world: "batches/",
    "batch_new": lambda world: "batches/new/",
    "batch": lambda world: f"batches/{Batch.objects.get().pk}/",
    "money": lambda world: "money/",
    "fee_rule": lambda world: "money/fees/",
    "statement": lambda world: f"money/statements/{world.owner.pk}/{timezone.now():%Y}/{timezone.now().month}/",
    "journal": lambda world: "journal/",
    "season": lambda world: "season/",
    "autumn": lambda world: "autumn/",
    "mail": lambda world: "mail/",
    "care_rules": lambda world: "care/rules/",
}


@pytest.mark.parametrize("name", PAGES)
def test_every_page_stands_the_scan_a_narrow_screen_and_large_text(
    page: Page, busy: Cast, enter: Enter, name: str
) -> None:
    enter(page, busy.manager)
    page.goto(f"/barns/home/{PAGES[name](busy)}")
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    assert violations(page) == []
    assert sideways(page) <= 0
    enlarge_text(page)
    assert sideways(page) <= 0


def test_a_statements_sums_are_in_sight_on_a_small_phone(phone: Page, busy: Cast, enter: Enter) -> None:
    phone.set_viewport_size({"width": 360, "height": 740})
    enter(phone, busy.manager)
    phone.goto(f"/barns/home/{PAGES['statement'](busy)}")
    cut = phone.eval_on_selector_all(".scroll", "all => all.map(one => one.scrollWidth - one.clientWidth)")
    assert cut
    assert max(cut) <= 0


def test_lists_and_statements_on_paper_hold_their_lines_and_no_buttons(desktop: Page, busy: Cast, enter: Enter) -> None:
    enter(desktop, busy.manager)
    for name, held in (("batch", "Mill Lane Laundry"), ("statement", "In all")):
        desktop.goto(f"/barns/home/{PAGES[name](busy)}")
        desktop.emulate_media(media="print")
        assert desktop.locator("button:visible, nav:visible").count() == 0
        assert desktop.get_by_text(held).first.is_visible()
        for paper in ("Letter", "A4"):
            pages = re.findall(rb"/Type\s*/Page\b", desktop.pdf(format=paper))
            assert len(pages) == 1
        desktop.emulate_media(media="screen")


class TestQuestionsInTwoTaps:
    """From the first page of the person who asks; the numbers are those of the barn's twenty-five questions."""

    def first(self, page: Page, person: Person, enter: Enter) -> None:
        enter(page, person)
        page.goto("/barns/home/")

    def test_13_was_it_changed_when_by_whom(self, phone: Page, busy: Cast, enter: Enter) -> None:
        self.first(phone, busy.owner, enter)
        expect(phone.get_by_text("Last change")).to_be_visible()
        expect(phone.get_by_text(re.compile(r"\d\d:\d\d, Staff"))).to_be_visible()

    def test_15_how_many_changes_this_month(self, phone: Page, busy: Cast, enter: Enter) -> None:
        self.first(phone, busy.owner, enter)
        tap(phone, "Changes and costs")
        tap(phone, "My statement of this month")
        expect(phone.get_by_text("3 changes, 1 of them charged.")).to_be_visible()

    def test_16_what_is_broken_is_it_safe(self, phone: Page, busy: Cast, enter: Enter) -> None:
        self.first(phone, busy.owner, enter)
        unsafe = phone.get_by_role("listitem").filter(has_text="WRN22").first
        expect(unsafe).to_contain_text("do not use")

    def test_17_when_did_it_tear_who_was_out_who_pays(self, phone: Page, busy: Cast, enter: Enter) -> None:
        self.first(phone, busy.owner, enter)
        phone.get_by_role("listitem").filter(has_text="decide").filter(has_text="WRN22").get_by_role("link").click()
        facts = phone.locator(".facts")
        expect(facts).to_contain_text("4 other horses")
        expect(facts).to_contain_text(re.compile(r"Reported\s*\d+ \w+ \d{4}, \d\d:\d\d, Manager"))
        expect(facts).to_contain_text(re.compile(r"Who pays\s*Owner"))

    def test_19_last_washed_and_due(self, phone: Page, busy: Cast, enter: Enter) -> None:
        self.first(phone, busy.manager, enter)
        tap(phone, "To be washed")
        due = phone.get_by_role("listitem").filter(has_text="BRN88 · Wash")
        expect(due).to_contain_text("Was due back 1 day ago.")

    def test_20_repair_or_replace(self, phone: Page, busy: Cast, enter: Enter) -> None:
        self.first(phone, busy.manager, enter)
        tap(phone, "To be repaired")
        expect(phone.get_by_role("listitem").filter(has_text="LNR44")).to_contain_text("61 % of its price")

    def test_21_what_went_what_came_back_what_is_missing(self, phone: Page, busy: Cast, enter: Enter) -> None:
        self.first(phone, busy.manager, enter)
        tap(phone, "Care")
        tap(phone, "Batches")
        batch = phone.get_by_role("listitem").filter(has_text="Batch 1")
        expect(batch).to_contain_text("3 still to check in")
        expect(batch).to_contain_text("Missing: 1")


def test_a_box_has_the_ring_of_a_link_where_the_keyboard_is(desktop: Page, stable: Cast, enter: Enter, manager: Actor):
    care.ask(stable.barn_blanket, CareKind.WASH, actor=manager)
    enter(desktop, stable.manager)
    desktop.goto("/barns/home/care/?queue=decisions")
    box = desktop.get_by_role("checkbox", name="Tick Wash of BRN88")
    desktop.keyboard.press("Tab")
    for _press in range(40):
        if box.evaluate("one => one === document.activeElement"):
            break
        desktop.keyboard.press("Tab")
    ring = "getComputedStyle(document.activeElement)"
    assert desktop.evaluate(f"[{ring}.outlineStyle, {ring}.outlineWidth, {ring}.outlineOffset]") == [
        "solid",
        "3px",
        "3px",
    ]
    assert box.evaluate("one => one === document.activeElement")
