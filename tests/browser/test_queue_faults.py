"""What could lose or double an event: two tabs at once, a killed browser, a full phone, a picture, a clock."""

import io
import random
import re
from datetime import timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Page, expect

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, SentWrite
from inventory.domain import damage
from inventory.enums import DamagedPart
from inventory.models import CareJob, HandCheck, ListLine, Picture
from tests.browser.away import Away, away, wire
from tests.browser.looking import violations
from tests.browser.test_offline import FULL, cast, kill
from tests.harness import size
from tests.inventory.lists import line_of

__all__ = ["away", "cast", "wire"]

ADD = "(told) => barnQueue.add(told)"
SEND = "barnQueue.send('home', '/barns/home/send/')"
PATHS = "(name) => caches.open(name).then(async (c) => (await c.keys()).map((one) => new URL(one.url).pathname))"
TAPS = """(told) => { (async () => { for (let n = 0; n < 500; n += 1) {
  await barnQueue.add({ ...told, fields: { felt: "warm", note: `${told.turn} ${n}` } });
  document.title = `kept ${n}`;
} })(); }"""
NO_ROOM_FOR_ANSWERS = """(() => {
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (value, key) {
    if (value && value.status) throw new DOMException("no room", "QuotaExceededError");
    return put.call(this, value, key);
  };
})()"""
NO_ROOM_FOR_PICTURES = """() => {
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (value, key) {
    if (value && value.picture) throw new DOMException("no room", "QuotaExceededError");
    return put.call(this, value, key);
  };
}"""


def check(line: ListLine, felt: str = "warm") -> dict:
    return {"kind": "hand_check", "horse": line.horse_id, "label": line.horse.name, "fields": {"felt": felt}}


def refused(line: ListLine) -> dict:
    fields = {"tags": [f"NO{line.pk}"], "why": "Nearer"}
    return {"kind": "other", "line": line.pk, "label": line.horse.name, "fields": fields}


def with_picture(page: Page, blanket: int, points: int) -> None:
    """A report of damage with a picture of so many random points a side, put into the queue."""
    noise = random.Random(points).randbytes(points * points * 3)
    out = io.BytesIO()
    Image.frombytes("RGB", (points, points), noise).save(out, "JPEG", quality=95)
    page.evaluate(
        """([blanket, bytes]) => barnQueue.add({ kind: "damage", blanket, label: `X${blanket}`,
            picture: new Blob([new Uint8Array(bytes)]), fields: { part: "strap", usable: false, note: "" } })""",
        [blanket, list(out.getvalue())],
    )


TWICE = "(button) => { for (let tap = 0; tap < 2; tap += 1) button.form.requestSubmit(button); }"


class TestATapThatComesTwice:
    """A finger that trembles, or a phone that is slow to show that it heard."""

    @pytest.mark.parametrize("kept", [True, False])
    def test_a_line_is_done_once_and_once_more_after_it_was_taken_back(self, cast, away, kept):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        number = page.locator(f"#line-{line.pk} form[action$='/done/'] [name=once]").input_value()
        phone.cut()
        if kept:
            phone.open()
        done = page.locator(f"#line-{line.pk}").get_by_role("button", name=re.compile("^Done"))
        done.evaluate(TWICE)
        phone.waiting(1)
        page.locator(f"#line-{line.pk}").get_by_role("button", name="Take back").evaluate(
            "(it) => { it.click(); it.click(); }"
        )
        phone.waiting(2)
        done.evaluate(TWICE)
        phone.waiting(3)
        page.wait_for_timeout(300)
        told = phone.queue()
        assert [item["kind"] for item in told] == ["done", "take_back", "done"]
        assert len({item["once"] for item in told}) == 3
        assert (told[0]["once"] == number) is not kept
        phone.signal()
        phone.send_now()
        phone.all_sent()
        assert JournalEntry.objects.filter(action="line_done").count() == 2

    def test_damage_is_reported_once_while_the_next_page_opens(self, cast, away):
        phone = away(cast.staff)
        page = phone.visit()
        phone.cut()
        phone.open(f"blankets/{cast.barn_blanket.pk}/damage/")
        page.get_by_label("Seam", exact=True).check()
        page.get_by_role("button", name="Do not use").evaluate(TWICE)
        page.wait_for_url(f"**/blankets/{cast.barn_blanket.pk}/")
        phone.waiting(1)
        assert [item["kind"] for item in phone.queue()] == ["damage"]

    def test_two_hands_under_it_are_two(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        for count in (1, 2):
            phone.open(f"horses/{line.horse_id}/hand-check/")
            page.get_by_role("button", name="Warm").evaluate(TWICE)
            expect(page.locator("#noted")).to_contain_text("Noted on this phone: Warm")
            phone.waiting(count)
        phone.signal()
        phone.send_now()
        phone.all_sent()
        assert HandCheck.objects.count() == 2


class TestWhatNoQueueTakes:
    def test_a_note_that_was_typed_stays_and_goes_where_there_is_signal(self, cast, away):
        phone, made = away(cast.staff), line_of(cast).change_list
        page = phone.visit(f"lists/{made.day}/{made.session}/note/", whole=False)
        note = page.get_by_label("Note to the next shift")
        note.fill("Bramble's water is frozen")
        phone.cut()
        save = page.locator("main form").get_by_role("button").first
        save.click()
        expect(page.locator("#queue-fault")).to_contain_text("No signal: this was NOT sent.")
        expect(note).to_have_value("Bramble's water is frozen")
        assert violations(page) == []
        phone.context.clear_cookies(name=settings.SESSION_COOKIE_NAME)
        phone.signal()
        save.click()
        expect(page.locator("#queue-fault")).to_contain_text("Sign in again to send")
        phone.sign_in(cast.staff)
        save.click()
        page.wait_for_url(f"**/lists/{made.day}/{made.session}/")
        made.refresh_from_db()
        assert (made.note, made.note_by) == ("Bramble's water is frozen", cast.staff)

    @pytest.mark.parametrize("kept", [True, False])
    def test_advise_again_on_an_open_or_kept_list(self, cast, away, kept):
        made = line_of(cast).change_list
        damage.report(cast.barn_blanket, part=DamagedPart.SEAM, usable=False, actor=Actor(cast.manager))
        phone = away(cast.staff)
        page = phone.visit()
        phone.cut()
        if kept:
            phone.open()
        again = page.locator("#since").get_by_role("button", name="Advise again")
        again.click()
        expect(page.locator("#since #queue-fault")).to_contain_text("No signal: this was NOT sent.")
        phone.signal()
        again.click()
        expect(page.locator("#since")).to_have_count(0)
        before, _old = made.made_at, made.refresh_from_db()
        assert made.made_at > before


class TestTwoTabs:
    def test_both_note_and_send_at_once(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        first = phone.visit(whole=False)
        second = phone.context.new_page()
        second.goto(first.url)
        count = size(200)
        many = f"""(told) => Promise.all([...Array({count}).keys()].map((n) =>
            barnQueue.add({{ ...told, fields: {{ felt: "warm", note: told.note + n }} }}).then(() => {SEND})))"""
        told = {**check(line), "note": "first "}
        first.evaluate(f"(told) => {{ window.all = ({many})(told); }}", told)
        second.evaluate(many, {**told, "note": "second "})
        first.evaluate("window.all")
        first.evaluate(SEND)
        states = phone.states()
        assert states == ["sent"] * 2 * count
        assert sorted(item["seq"] for item in phone.queue()) == list(range(1, 2 * count + 1))
        notes = set(HandCheck.objects.values_list("note", flat=True))
        assert notes == {f"{tab} {n}" for tab in ("first", "second") for n in range(count)}
        assert HandCheck.objects.count() == SentWrite.objects.count() == 2 * count

    def test_the_page_of_whoever_was_there_before_notes_nothing_in_the_others_name(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.sign_in(cast.staff_owner)
        other = phone.context.new_page()
        other.goto(page.url)
        expect(other.locator(".who")).to_contain_text("Staff Owner")
        expect(other.locator("html[data-kept=all]")).to_be_attached(timeout=120_000)
        phone.tap(line.pk, "^Done")
        expect(page.locator("#queue-shout")).to_contain_text("Somebody else came in")
        assert phone.queue() == []
        assert ListLine.objects.get(pk=line.pk).outcome == ""

    def test_pages_of_whoever_signed_in_meanwhile_are_not_kept_as_the_others(self, cast, away):
        phone, theirs = away(cast.staff), Client()
        theirs.force_login(cast.manager.user)
        other = f"{settings.SESSION_COOKIE_NAME}={theirs.cookies[settings.SESSION_COOKIE_NAME].value}"
        phone.wire.cookie = lambda path: other if "/lines/" in path or "/lists/" in path else None
        page = phone.visit(whole=False)
        expect(page.locator("html[data-kept=some]")).to_be_attached(timeout=120_000)
        kept = page.evaluate(PATHS, f"kept/home/{cast.staff.key}")
        assert any("/hand-check/" in path for path in kept)
        assert not any("/lines/" in path or "/lists/" in path for path in kept)


class TestKilled:
    def test_in_the_middle_of_many_taps_what_is_kept_is_whole_and_sent_once(
        self, cast, away, wire, tmp_path, playwright, browser_type_launch_args
    ):
        def phone() -> Away:
            return Away(playwright.chromium.launch_persistent_context(tmp_path, **browser_type_launch_args), wire)

        line, total, dice = line_of(cast), 0, random.Random(20261128)
        here = phone()
        here.sign_in(cast.staff)
        here.visit()
        for turn in range(size(60)):
            here.cut()
            here.open()
            here.page.evaluate(TAPS, {**check(line), "turn": turn})
            here.page.wait_for_timeout(dice.randrange(100, 400))
            answered = int((re.findall(r"kept (\d+)", here.page.title()) or [-1])[0]) + 1
            kill(tmp_path)
            here = phone()
            here.open()
            kept = [item for item in here.queue() if item["state"] == "waiting"]
            assert len(kept) >= answered, "a tap that was answered is gone"
            assert [item["fields"]["note"] for item in kept] == [f"{turn} {n}" for n in range(len(kept))]
            numbers = [item["seq"] for item in here.queue()]
            assert numbers == sorted(set(numbers))
            here.signal()
            here.sign_in(cast.staff)
            here.page.evaluate(SEND)
            assert set(here.states()) <= {"sent"}
            total += len(kept)
        here.context.close()
        assert HandCheck.objects.count() == total > 0


class TestAFullPhone:
    def test_a_report_is_kept_without_the_picture_that_has_no_room(self, cast, away, tmp_path):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.open(f"horses/{line.horse_id}/damage/")
        page.evaluate(NO_ROOM_FOR_PICTURES)
        Image.new("RGB", (900, 700), "brown").save(tmp_path / "torn.jpg")
        page.get_by_label("Strap", exact=True).check()
        page.get_by_text("Add a note or a picture").click()
        page.get_by_label("Picture").set_input_files(tmp_path / "torn.jpg")
        page.get_by_role("button", name="Do not use").click()
        expect(page.locator("#queue-shout")).to_contain_text("kept without its picture")
        phone.waiting(1)
        phone.signal()
        phone.send_now()
        phone.all_sent()
        assert CareJob.objects.get(blanket=cast.worn, part="strap").do_not_use
        assert not Picture.objects.filter(blanket=cast.worn).exists()

    def test_no_room_to_note_that_it_was_sent_loses_and_doubles_nothing(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit(whole=False)
        for felt in ("warm", "cool"):
            page.evaluate(ADD, check(line, felt))
        page.evaluate(FULL)
        page.evaluate(SEND)
        assert phone.queue() == []
        assert sorted(HandCheck.objects.values_list("felt", flat=True)) == ["cool", "warm"]

    def test_no_room_to_note_an_answer_stops_no_page(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit(f"horses/{line.horse_id}/hand-check/", whole=False)
        page.evaluate(ADD, refused(line))
        page.evaluate(NO_ROOM_FOR_ANSWERS)
        page.get_by_role("button", name="Warm").click()
        expect(page.locator("#noted")).to_contain_text("Noted on this phone: Warm")
        assert phone.states() == ["waiting", "waiting"]
        phone.context.add_init_script(NO_ROOM_FOR_ANSWERS)
        phone.visit()
        assert phone.states() == ["waiting", "waiting"]


class TestPictures:
    def test_one_picture_goes_in_a_call_and_all_arrive(self, cast, away):
        phone = away(cast.staff)
        page = phone.visit(whole=False)
        blankets = (cast.worn, cast.barn_blanket, cast.owners_liner)
        for number, blanket in enumerate(blankets):
            with_picture(page, blanket.pk, 300 + number)
        before = len(phone.wire.passed)
        page.evaluate(SEND)
        calls = [path for method, path in phone.wire.passed[before:] if path.endswith("/send/")]
        assert (len(calls), phone.states()) == (3, ["sent"] * 3)
        assert all(Picture.objects.filter(blanket=blanket).count() == 1 for blanket in blankets)

    def test_one_that_is_too_large_for_the_house_stays_behind_and_its_report_arrives(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit(whole=False)
        with_picture(page, cast.worn.pk, 700)
        page.evaluate(ADD, check(line))
        refused = []

        def small_door(method, path):
            if path.endswith("/send/") and not refused:
                refused.append(path)
                return 413
            return None

        phone.wire.rule = small_door
        page.evaluate(SEND)
        assert (len(refused), phone.states()) == (1, ["sent", "sent"])
        assert "larger than the house takes in" in phone.queue()[0]["said"]
        assert CareJob.objects.filter(blanket=cast.worn, part="strap").exists()
        assert HandCheck.objects.count() == 1

    def test_pictures_that_are_too_large_only_together_go_one_by_one(self, cast, away):
        phone = away(cast.staff)
        page = phone.visit(whole=False)
        for nobodys in (999_001, 999_002):
            with_picture(page, nobodys, 300)
        page.evaluate(SEND)
        assert phone.states() == ["needs", "needs"]
        size_of_one = page.evaluate("barnQueue.list().then(([one]) => one.picture.size)")
        phone.wire.door = 2 * size_of_one
        with_picture(page, cast.worn.pk, 300)
        page.evaluate(SEND)
        assert phone.states() == ["needs", "needs", "sent"]
        assert not any(item.get("tooLarge") for item in phone.queue())
        assert Picture.objects.filter(blanket=cast.worn).count() == 1


class TestOrder:
    def test_many_refused_ones_do_not_hold_back_what_follows(self, cast, away):
        phone, line, other = away(cast.staff), line_of(cast), line_of(cast, "barn_horse")
        page = phone.visit(whole=False)
        for _number in range(60):
            page.evaluate(ADD, refused(line))
        page.evaluate(ADD, check(line))
        page.evaluate(ADD, check(other))
        page.evaluate(SEND)
        assert phone.states()[-2:] == ["waiting", "sent"]
        assert HandCheck.objects.get().horse == other.horse

    def test_behind_many_refused_ones_what_waited_goes_when_its_own_is_dropped(self, cast, away):
        phone, line, other = away(cast.staff), line_of(cast), line_of(cast, "barn_horse")
        page = phone.visit(whole=False)
        for _number in range(60):
            page.evaluate(ADD, refused(line))
        mine = page.evaluate(ADD, refused(other))
        page.evaluate(ADD, check(other))
        page.evaluate(SEND)
        assert [(item["state"], item["status"]) for item in phone.queue()[-2:]] == [
            ("needs", "refused"),
            ("waiting", "held"),
        ]
        page.evaluate("(once) => barnQueue.drop(once)", mine["once"])
        page.evaluate(SEND)
        assert phone.states()[-1] == "sent"
        assert HandCheck.objects.get().horse == other.horse

    def test_a_clock_put_back_between_two_taps_changes_no_order(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        page.evaluate(ADD, {"kind": "not_done", "line": line.pk, "label": "x", "fields": {"why": "No time"}})
        page.evaluate("() => { const real = Date.now; Date.now = () => real() - 56 * 365 * 86400 * 1000; }")
        phone.tap(line.pk, "Take back")
        phone.waiting(2)
        phone.open()
        phone.tap(line.pk, "^Done")
        phone.waiting(3)
        begun = timezone.now() - timedelta(minutes=10)
        phone.signal()
        phone.send_now()
        phone.all_sent()
        entries = JournalEntry.objects.filter(action__startswith="line_").order_by("pk")
        assert [one.action for one in entries] == ["line_not_done", "line_taken_back", "line_done"]
        assert all(one.there_at > begun for one in entries)

    def test_what_waited_50_hours_is_sent_at_the_time_it_was_done(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit(whole=False)
        page.evaluate("() => { window.real = Date.now; Date.now = () => real() - 50 * 3600 * 1000; }")
        page.evaluate(ADD, check(line))
        page.evaluate("() => { Date.now = window.real; }")
        page.evaluate("barnQueue.forgetOld()")
        assert phone.states() == ["waiting"]
        page.evaluate(SEND)
        assert phone.states() == ["sent"]
        assert timedelta(hours=49) < timezone.now() - HandCheck.objects.get().at < timedelta(hours=51)
