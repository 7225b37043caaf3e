"""In the back paddock without signal: a blanket by its tag, its tear with a picture; lists of later; a hand check."""

import re
from datetime import timedelta
from pathlib import Path

import pytest
from django.urls import reverse
from PIL import Image
from playwright.sync_api import expect

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import User
from inventory.domain import sessions, wearing
from inventory.models import CareJob, HandCheck, ListLine, Picture
from tests import factories as make
from tests.browser.away import Away, away, shot, wire
from tests.browser.conftest import PHONE_AT_NIGHT
from tests.browser.looking import sideways, violations
from tests.browser.test_questions_staff import cast
from tests.cast import Cast
from tests.inventory.lists import line_of, now

__all__ = ["away", "cast", "wire"]


@pytest.fixture
def torn(tmp_path) -> Path:
    picture = tmp_path / "torn.jpg"
    Image.new("RGB", (900, 700), "brown").save(picture)
    return picture


def sound(phone: Away, name: str) -> None:
    """The page stands the scan in both schemes and at the width of a phone."""
    for scheme in ("light", "dark"):
        phone.page.emulate_media(color_scheme=scheme)
        assert violations(phone.page) == []
        assert sideways(phone.page) == 0
        shot(phone.page, f"{name}-{scheme}")


def report(phone: Away, torn: Path) -> None:
    page = phone.page
    page.get_by_role("link", name="Report damage").click()
    page.get_by_label("Seam", exact=True).check()
    page.get_by_text("Add a note or a picture").click()
    page.get_by_label("Picture").set_input_files(torn)
    page.get_by_role("button", name="Do not use").click()


class TestATagWithoutSignal:
    def test_a_scanned_label_opens_its_blanket_and_a_tear_with_a_picture_waits_and_is_sent(self, cast, away, torn):
        phone, blanket = away(cast.staff), cast.barn_blanket
        page = phone.visit()
        phone.cut()
        page.goto(f"{phone.wire.url}{reverse('scanned', args=[cast.barn.pk, blanket.tag])}")
        expect(page.get_by_role("heading", level=1)).to_have_text(blanket.tag)
        expect(page.locator("main")).to_contain_text("On its rack")
        sound(phone, "blanket-by-tag")
        report(phone, torn)
        phone.waiting(1)
        expect(page.get_by_role("heading", level=1)).to_have_text(blanket.tag)
        page.locator("#queue summary").click()
        expect(page.locator("#queue-items")).to_contain_text(f"{blanket.tag}: Damage")
        sound(phone, "torn-on-this-phone")
        assert not CareJob.objects.filter(blanket=blanket).exists()
        phone.signal()
        phone.send_now()
        phone.all_sent()
        job = CareJob.objects.get(blanket=blanket)
        assert (job.part, job.do_not_use, job.reported_by) == ("seam", True, cast.staff)
        assert Picture.objects.filter(blanket=blanket).count() == 1

    def test_a_typed_tag_and_one_that_nobody_knows(self, cast, away):
        phone = away(cast.staff)
        page = phone.visit()
        phone.cut()
        phone.open("blankets/")
        expect(page.locator("#queue-shout")).to_contain_text("a blanket is found by its tag")
        sound(phone, "tag-without-signal")
        page.get_by_label("Tag").fill("NSUCH")
        page.get_by_role("button", name="Open the blanket").click()
        expect(page.locator("#queue-shout")).to_contain_text("knows no blanket with this tag")
        page.get_by_label("Tag").fill("wrn-22")
        page.get_by_role("button", name="Open the blanket").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("WRN22")
        expect(page.locator("main")).to_contain_text("May go outside, in rain too.")
        page.get_by_role("link", name="The horse it belongs to").click()
        expect(page.get_by_role("heading", level=1)).to_contain_text("Bramble")

    def test_another_barns_label_opens_nothing(self, cast, away):
        phone = away(cast.staff)
        page = phone.visit()
        phone.cut()
        page.goto(f"{phone.wire.url}{reverse('scanned', args=[cast.other.barn.pk, 'WRN22'])}")
        expect(page.locator("#queue-shout")).to_contain_text("knows no blanket with this tag")

    def test_a_label_that_is_no_address_opens_nothing(self, cast, away):
        phone = away(cast.staff)
        page = phone.visit()
        phone.cut()
        page.goto(f"{phone.wire.url}/t/{cast.barn.pk}/%E0%A4")
        expect(page.locator("#queue-shout")).to_contain_text("knows no blanket with this tag")

    def test_with_signal_a_report_leads_to_the_blanket(self, cast, away, torn):
        phone = away(cast.staff)
        page = phone.visit(f"blankets/{cast.barn_blanket.pk}/damage/", whole=False)
        page.get_by_label("Seam", exact=True).check()
        page.get_by_role("button", name="Still usable").click()
        page.wait_for_url(f"**/blankets/{cast.barn_blanket.pk}/")
        phone.all_sent()
        assert CareJob.objects.filter(blanket=cast.barn_blanket, part="seam").exists()


def later(cast: Cast) -> dict[str, ListLine]:
    """The lines of a list beyond those that are kept whole."""
    slot = sessions.coming(cast.barn, now())[2]
    lines = ListLine.objects.filter(change_list__day=slot.day, change_list__session=slot.session)
    return {line.horse.name: line for line in lines.select_related("horse", "change_list")}


class TestTheListsOfLater:
    def test_everything_is_noted_from_a_list_of_later(self, cast, away, torn):
        phone, lines = away(cast.staff), later(cast)
        done, other, left = lines["Bramble"], lines["Fern"], lines["Dapple"]
        page = phone.visit()
        phone.cut()
        path = f"lists/{done.change_list.day}/{done.change_list.session}/"
        phone.open(path)
        shot(page, "list-of-later")
        page.locator(f"#line-{done.pk} summary").click()
        phone.tap(done.pk, "^Done")
        phone.waiting(1)

        page.locator(f"#line-{other.pk}").get_by_role("link", name=re.compile("^Hand check")).click()
        page.get_by_role("button", name="Cool").click()
        expect(page.locator("#noted")).to_contain_text("Noted on this phone: Cool")
        phone.waiting(2)
        phone.open(path)
        page.locator(f"#line-{other.pk}").get_by_role("link", name=re.compile("^Other")).click()
        expect(page.get_by_role("heading", level=1)).to_contain_text("Fern")
        page.get_by_label("Nothing on").check()
        page.get_by_label("The owner asked for it").check()
        page.get_by_role("button", name="Done so").click()
        page.wait_for_url(f"**/{path}#line-{other.pk}")
        phone.waiting(3)

        page.locator(f"#line-{left.pk}").get_by_role("link", name=re.compile("^Not done")).click()
        page.get_by_label("There was no time").check()
        page.get_by_role("button", name="Not done").click()
        phone.waiting(4)

        page.locator(f"#line-{left.pk}").get_by_role("link", name=re.compile("^Dapple")).click()
        expect(page.locator("#queue-shout")).to_contain_text("Of this time only the list is kept")
        phone.open(f"horses/{done.horse_id}/damage/")
        page.get_by_label("Strap", exact=True).check()
        page.get_by_text("Add a note or a picture").click()
        page.get_by_label("Picture").set_input_files(torn)
        page.get_by_role("button", name="Still usable").click()
        phone.waiting(5)

        phone.signal()
        phone.send_now()
        phone.all_sent()
        for line in (done, other, left):
            line.refresh_from_db()
        assert (done.outcome, other.outcome, left.outcome) == ("done", "other", "not_done")
        assert (other.tags_done, other.why, left.why) == ([], "The owner asked for it", "There was no time")
        assert HandCheck.objects.get().horse == other.horse
        assert Picture.objects.filter(blanket=cast.worn).count() == 2
        assert CareJob.objects.get(blanket=cast.worn, part="strap").on_horse == done.horse

    def test_a_whole_place_is_done_without_signal(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.open()
        place = page.locator("section", has_text="All done in one place").get_by_role("link").first
        place.click()
        expect(page.get_by_role("heading", level=1)).to_contain_text("All done here")
        names = page.locator("input[name=but]").count()
        page.get_by_role("button", name="All done here").click()
        phone.waiting(names)
        phone.signal()
        phone.send_now()
        phone.all_sent()
        assert ListLine.objects.filter(change_list=line.change_list, outcome="done").count() == names


class TestWhereAWetOneHangs:
    def test_a_slip_is_undone_and_what_is_typed_counts(self, cast, away):
        ended = {"since": now() - timedelta(days=9), "until": now() - timedelta(days=8)}
        make.PlacingFactory(blanket=cast.owners_blanket, kind="drying", place="Loft", **ended)
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        for typed, hangs in (("", ""), ("Boiler room", "Boiler room")):
            phone.open(f"lines/{line.pk}/other/")
            expect(page.get_by_label("Nothing came off wet")).to_be_checked()
            page.get_by_label("Nothing on").check()
            page.get_by_label("The owner asked for it").check()
            page.get_by_label("Loft").check()
            if typed:
                page.get_by_text("It hangs somewhere else").click()
                page.get_by_label("Nothing came off wet").check()
                page.get_by_label("Where, in words").fill(typed)
                expect(page.get_by_label("Somewhere else")).to_be_checked()
                page.get_by_label("Nothing came off wet").check()
                page.get_by_role("button", name="Done so").click()
                expect(page.get_by_text("Which of the two?")).to_be_visible()
                page.get_by_label("Somewhere else").check()
            else:
                page.get_by_label("Nothing came off wet").check()
                sound(phone, "nothing-came-off-wet")
            page.get_by_role("button", name="Done so").click()
            page.wait_for_url(f"**#line-{line.pk}")
            assert phone.queue()[-1]["fields"]["place"] == hangs

    @pytest.fixture
    def soaked(self, cast) -> ListLine:
        """The barn's horse stands in its own sheet, soaked, and the list says that it comes off."""
        horse = cast.barn_horse
        line = line_of(cast, "barn_horse")
        worn = make.WearingFactory(barn=cast.barn, horse=horse, blanket=cast.barn_blanket, on_by=cast.staff)
        ListLine.objects.filter(pk=line.pk).update(tags_from=[worn.blanket.tag], tags_to=[])
        wearing.mark_soaked(worn, actor=Actor(cast.staff))
        line.refresh_from_db()
        return line

    def test_of_a_soaked_one_it_is_asked_without_signal_too(self, cast, away, soaked):
        phone = away(cast.staff)
        page = phone.visit()
        phone.cut()
        phone.open(f"lines/{soaked.pk}/other/")
        expect(page.locator("p[data-soaked]")).to_contain_text(f"{cast.barn_blanket.tag} comes off soaked")
        page.locator("label", has_text="Another one, by its tag").click()
        page.get_by_label("Tags").fill("WNR33")
        page.get_by_label("The owner asked for it").check()
        page.get_by_role("button", name="Done so").click()
        expect(page.get_by_role("alert")).to_have_text("Say where it hangs, so that somebody finds it.")
        assert phone.queue() == []
        page.locator("[name=place]:not([type=radio])").fill("Loft")
        page.get_by_role("button", name="Done so").click()
        phone.waiting(1)
        assert phone.queue()[-1]["fields"] | {"why": ""} == {
            "tags": ["WNR33"],
            "neck": False,
            "why": "",
            "more": "",
            "wet": True,
            "place": "Loft",
        }

    def test_all_done_in_one_place_leaves_it_for_its_own_page(self, cast, away, soaked):
        phone = away(cast.staff)
        page = phone.visit()
        phone.cut()
        phone.open()
        where = page.locator("section", has_text="All done in one place").get_by_role("link")
        seen = []
        for address in [link.get_attribute("href") for link in where.all()]:
            page.goto(f"{phone.wire.url}{address}")
            assert page.locator(f"input[name=but][value='{soaked.pk}']").count() == 0
            seen += [address] * page.locator("main li", has_text="comes off soaked").count()
        page.goto(f"{phone.wire.url}{seen[0]}")
        page.get_by_role("link", name=soaked.horse.name).click()
        expect(page.get_by_role("heading", level=1)).to_contain_text(soaked.horse.name)


class TestAHandCheck:
    def test_without_signal_its_cautions_are_said_at_once_and_on_the_list(self, cast, away):
        phone, line = away(cast.staff, color_scheme=PHONE_AT_NIGHT.scheme), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.open(f"horses/{line.horse_id}/hand-check/")
        page.get_by_role("button", name="Sweating").focus()
        page.keyboard.press("Enter")
        noted = page.locator("#noted")
        expect(noted).to_contain_text("Noted on this phone: Sweating")
        expect(noted).to_contain_text("Never a filled or waterproof layer on a hot, sweating horse: cool it out first.")
        expect(noted).not_to_contain_text("shivers")
        expect(noted).to_be_focused()
        sound(phone, "sweating-without-signal")
        page.get_by_role("link", name="To the list at hand").click()
        row = page.locator(f"#line-{line.pk}")
        expect(row).to_contain_text("Hand check: Sweating · On this phone")
        expect(row).to_contain_text("Never a filled or waterproof layer")
        expect(row.get_by_role("button", name=re.compile("^Done"))).to_be_visible()
        sound(phone, "sweating-on-the-list")
        page.locator("#queue summary").click()
        expect(page.locator("#queue-items")).to_contain_text("Bramble: Hand check, Sweating")

    def test_it_shivers(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.open(f"horses/{line.horse_id}/hand-check/")
        page.get_by_text("Add a note first").click()
        page.get_by_label("It shivers").check()
        page.get_by_role("button", name="Cold").click()
        expect(page.locator("#noted .warn")).to_have_count(1)
        expect(page.locator("#noted")).to_contain_text("call the veterinarian")
        phone.signal()
        phone.send_now()
        phone.all_sent()
        assert HandCheck.objects.get().note == "It shivers"

    def test_in_spanish(self, cast, away):
        User.objects.filter(pk=cast.staff.user_id).update(language="es")
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.open(f"horses/{line.horse_id}/hand-check/")
        page.locator("[name=felt][value=sweating]").click()
        expect(page.locator("#noted")).to_contain_text("sudado")
        assert "Noted" not in page.locator("#noted").inner_text()
        sound(phone, "sweating-spanish")

    def test_with_signal_the_houses_page_says_what_comes_of_it(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit(f"horses/{line.horse_id}/hand-check/", whole=False)
        page.get_by_role("button", name="Sweating").click()
        page.wait_for_url(f"**/horses/{line.horse_id}/hand-checks/")
        expect(page.locator("main")).to_contain_text("Never a filled or waterproof layer")
        expect(page.locator("main")).to_contain_text("Now, with them")
        check = HandCheck.objects.get()
        assert (check.felt, check.by) == ("sweating", cast.staff)

    @pytest.mark.parametrize("how", ["before", "after", "middle"])
    def test_a_wire_cut_in_the_middle_makes_no_second_one_and_loses_none(self, cast, away, how):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.open(f"horses/{line.horse_id}/hand-check/")
        phone.wire.rule = lambda method, path: how if path.endswith("/send/") else None
        page.get_by_role("button", name="Sweating").click()
        expect(page.locator("#noted")).to_contain_text("cool it out first")
        phone.wire.rule = lambda method, path: None
        phone.send_now()
        phone.all_sent()
        assert HandCheck.objects.get().felt == "sweating"
