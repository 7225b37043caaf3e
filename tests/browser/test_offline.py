"""Without signal: nothing seen is missing, nothing done is lost. A real browser on a wire that is cut."""

import io
import os
import re
import signal
import threading
import uuid
from datetime import timedelta
from pathlib import Path

import pytest
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import expect

from barnrugs.barns.domain import devices, people
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Device, JournalEntry, SentWrite, User
from horses.models import Horse
from inventory.domain import lists
from inventory.models import CareJob, HandCheck, ListLine, Picture, Question, Wearing
from tests import factories as make
from tests.browser.away import HOME, Away, away, shot, wire
from tests.browser.cut import AFTER, BEFORE, MIDDLE
from tests.browser.looking import sideways, violations
from tests.cast import Cast, build_cast
from tests.harness import size
from tests.inventory.lists import line_of, make_list
from tests.phones import own_phone

FULL = """() => {
  IDBObjectStore.prototype.put = () => { throw new DOMException("no room", "QuotaExceededError"); };
}"""


def kill(folder: Path) -> None:
    """Ends the browser that works in this folder, which nobody else does, without a word to it."""
    for process in Path("/proc").glob("[0-9]*"):
        try:
            told = (process / "cmdline").read_text().split("\0")
        except OSError:
            continue
        if f"--user-data-dir={folder}" in told and not any(one.startswith("--type=") for one in told):
            os.kill(int(process.name), signal.SIGKILL)


__all__ = ["away", "wire"]


@pytest.fixture
def cast(live_server, transactional_db) -> Cast:
    cast = build_cast()
    make_list(cast)
    return cast


def test_the_list_and_a_tap_without_signal(cast, away):
    phone, line = away(cast.staff), line_of(cast)
    page = phone.visit()
    phone.cut()
    phone.open()
    expect(page.locator(f"#line-{line.pk}")).to_contain_text("Bramble")
    phone.tap(line.pk, "Done")
    phone.waiting(1)
    expect(page.locator(f"#line-{line.pk} .queued")).to_contain_text("Done · On this phone")
    shot(page, "on-this-phone")
    assert violations(page) == []
    assert ListLine.objects.get(pk=line.pk).outcome == ""
    phone.signal()
    phone.send_now()
    phone.all_sent()
    line.refresh_from_db()
    assert (line.outcome, line.done_by) == ("done", cast.staff)
    assert {one.blanket.tag for one in Wearing.objects.filter(horse=line.horse, off_at=None)} == set(line.tags_to)
    shot(page, "sent")


def test_control_without_the_worker_the_page_fails(cast, away):
    phone = away(cast.staff, service_workers="block")
    phone.page.goto(f"{phone.wire.url}/barns/home/due/")
    phone.cut()
    with pytest.raises(PlaywrightError, match="ERR_"):
        phone.open()


class TestTheQueue:
    def test_it_survives_the_browser_being_killed(
        self, cast, away, wire, tmp_path, playwright, browser_type_launch_args
    ):
        """The browser dies with its process, as when a battery falls out; at the next start everything is there."""
        here = playwright.chromium.launch_persistent_context(tmp_path, **browser_type_launch_args)
        phone = Away(here, wire)
        phone.sign_in(cast.staff)
        phone.visit()
        phone.cut()
        lines = [line_of(cast, name) for name in ("owners_horse", "barn_horse", "other_horse")]
        phone.open()
        for count, line in enumerate(lines, start=1):
            phone.tap(line.pk, "Done")
            phone.waiting(count)
        before = phone.queue()
        kill(tmp_path)
        there = playwright.chromium.launch_persistent_context(tmp_path, **browser_type_launch_args)
        phone = Away(there, wire)
        phone.open()
        assert phone.queue() == before
        phone.sign_in(cast.staff)
        phone.waiting(3)
        phone.signal()
        phone.send_now()
        phone.all_sent()
        assert ListLine.objects.filter(outcome="done").count() == 3
        there.close()

    @pytest.mark.parametrize("how", [BEFORE, AFTER, MIDDLE])
    def test_the_wire_is_cut(self, cast, away, how):
        """Before sending, after sending, within the answer: none is lost, none happens twice."""
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit(whole=False)
        turns = size(100)
        for turn in range(turns):
            phone.wire.rule = lambda method, path: how if path.endswith("/send/") else None
            kind = (
                {"kind": "not_done", "fields": {"why": "No time"}}
                if turn % 2 == 0
                else {"kind": "take_back", "fields": {}}
            )
            page.evaluate("(told) => barnQueue.add(told)", {**kind, "line": line.pk, "label": "Bramble"})
            page.evaluate("barnQueue.send('home', '/barns/home/send/')")
            assert phone.states()[-1] == "waiting"
            phone.wire.rule = lambda method, path: None
            page.evaluate("barnQueue.send('home', '/barns/home/send/')")
            assert phone.states()[-1] == "sent"
        entries = JournalEntry.objects.filter(action__in=["line_not_done", "line_taken_back"])
        assert entries.count() == turns
        assert SentWrite.objects.count() == turns

    def test_it_goes_by_itself_when_the_signal_is_back(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.tap(line.pk, "Done")
        phone.waiting(1)
        phone.signal()
        page.evaluate("dispatchEvent(new Event('online'))")
        phone.all_sent()
        expect(page.locator(f"#line-{line.pk}")).to_contain_text("Staff")
        assert ListLine.objects.get(pk=line.pk).outcome == "done"

    def test_a_session_that_ran_out(self, cast, away):
        """The queue survives, says what to do, and goes when the same person is back."""
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.tap(line.pk, "Done")
        phone.waiting(1)
        phone.context.clear_cookies()
        phone.signal()
        phone.send_now()
        expect(page.locator("#queue-more")).to_contain_text("Sign in again to send")
        shot(page, "sign-in-again")
        assert phone.states() == ["waiting"]
        phone.sign_in(cast.staff)
        phone.open()
        phone.all_sent()
        line.refresh_from_db()
        assert (line.outcome, line.done_by) == ("done", cast.staff)

    def test_it_is_never_sent_as_anothers(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.tap(line.pk, "Done")
        phone.waiting(1)
        phone.context.clear_cookies()
        phone.signal()
        phone.sign_in(cast.staff_owner)
        phone.visit(whole=False)
        expect(page.locator("#queue-more")).to_contain_text("Staff noted something that waits until they come in")
        page.locator("#queue-send").click()
        expect(page.locator("#queue-send")).to_have_text("Send now (1)")
        assert phone.states() == ["waiting"]
        assert ListLine.objects.get(pk=line.pk).outcome == ""

    def test_a_full_phone_says_so_and_swallows_nothing(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        page.evaluate(FULL)
        phone.tap(line.pk, "Done")
        expect(page.locator("#queue-shout")).to_contain_text("NOT kept")
        expect(page.locator(f"#line-{line.pk}").get_by_role("button", name="Done")).to_be_visible()
        shot(page, "full")
        assert violations(page) == []
        phone.signal()
        phone.tap(line.pk, "Done")
        expect(page.locator(f"#line-{line.pk}")).to_contain_text("Staff")
        assert ListLine.objects.get(pk=line.pk).outcome == "done"

    def test_a_clock_26_hours_off(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.page
        page.clock.install()
        phone.visit(whole=False)
        page.evaluate("(by) => { const real = Date.now; Date.now = () => real() + by; }", 26 * 3600 * 1000)
        before = timezone.now() - timedelta(minutes=5)
        phone.tap(line.pk, "Done")
        phone.all_sent()
        line.refresh_from_db()
        assert before < line.done_at <= timezone.now()

    def test_refused_needs_you_and_holds_back_only_its_horse(self, cast, away):
        phone = away(cast.staff)
        line, other = line_of(cast), line_of(cast, "barn_horse")
        page = phone.visit()
        bad = {"kind": "other", "line": line.pk, "label": "Bramble", "fields": {"tags": ["NOSUCH"], "why": "Nearer"}}
        check = {"kind": "hand_check", "horse": line.horse_id, "label": "Bramble", "fields": {"felt": "warm"}}
        phone.cut()
        for told in (bad, check):
            page.evaluate("(told) => barnQueue.add(told)", told)
        phone.tap(other.pk, "Done")
        phone.signal()
        phone.send_now()
        expect(page.locator("#queue-said")).to_contain_text("1 needs you.")
        assert phone.states() == ["needs", "waiting", "sent"]
        page.locator("#queue summary").click()
        shot(page, "needs-you")
        assert violations(page) == []
        page.get_by_role("button", name="Drop it").click()
        assert phone.states() == ["needs", "waiting", "sent"]
        expect(page.get_by_role("button", name="Drop it for good")).to_be_focused()
        page.keyboard.press("Enter")
        phone.all_sent()
        assert HandCheck.objects.get().felt == "warm"

    def test_something_that_waited_a_day(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.tap(line.pk, "Done")
        phone.waiting(1)
        page.evaluate(
            "barnQueue.list().then(([one]) => barnStore.put('queue', { ...one, at: one.at - 25 * 3600 * 1000 }))"
        )
        phone.open()
        expect(page.locator("#queue-more")).to_contain_text("waited for more than a day")
        shot(page, "a-day")

    def test_what_was_sent_stays_readable_48_hours(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit(whole=False)
        phone.tap(line.pk, "Done")
        phone.all_sent()
        older = "(by) => barnQueue.list().then(([one]) => barnStore.put('queue', { ...one, sentAt: Date.now() - by }))"
        page.evaluate(older, 47 * 3600 * 1000)
        page.evaluate("barnQueue.forgetOld()")
        assert phone.states() == ["sent"]
        page.evaluate(older, 49 * 3600 * 1000)
        page.evaluate("barnQueue.forgetOld()")
        assert phone.states() == []


class TestWhatIsKept:
    def test_only_staff_pages_of_this_person_and_no_money(self, cast, away):
        phone = away(cast.staff)
        make.CareMoveFactory(job=cast.care_job, cost="123.45")
        page = phone.visit()
        names = page.evaluate("caches.keys()")
        kept = [name for name in names if name.startswith("kept/")]
        assert kept == [f"kept/home/{cast.staff.key}"]
        pages = page.evaluate(
            "(name) => caches.open(name).then(async (c) => Promise.all((await c.keys()).map(async (r) => "
            "[new URL(r.url).pathname, await (await c.match(r)).text()])))",
            kept[0],
        )
        assert {path.split("/")[3] for path, _text in pages} <= {"lists", "lines", "horses", "kept", "pictures", "tag"}
        assert not any("123.45" in text or "USD" in text for _path, text in pages)
        assert not any("Their Horse" in text for _path, text in pages)

    @pytest.mark.parametrize("who", ["manager", "owner"])
    def test_nothing_of_a_manager_or_owner(self, cast, away, who):
        phone = away(getattr(cast, who))
        phone.page.goto(f"{phone.wire.url}/barns/home/")
        phone.page.wait_for_timeout(500)
        assert phone.page.evaluate("caches.keys()") == []
        assert phone.page.locator("#phone-told").count() == 0

    def test_signing_out_removes_the_pages_and_never_the_queue(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.tap(line.pk, "Done")
        phone.waiting(1)
        phone.signal()
        phone.wire.rule = lambda method, path: BEFORE if path.endswith("/send/") else None
        page.goto(f"{phone.wire.url}/account/logout/")
        page.locator("main").get_by_role("button", name="Sign out").click()
        page.wait_for_url("**/login/**")
        page.goto(f"{phone.wire.url}/no-signal/")
        assert [name for name in page.evaluate("caches.keys()") if name.startswith("kept/")] == []
        phone.wire.rule = lambda method, path: None
        phone.sign_in(cast.staff)
        phone.open()
        phone.all_sent()
        assert ListLine.objects.get(pk=line.pk).outcome == "done"

    def test_a_page_that_is_not_kept_says_so(self, cast, away):
        phone = away(cast.staff)
        phone.visit()
        phone.cut()
        page = phone.open("horses/")
        expect(page.get_by_role("heading", level=1)).to_have_text("No signal")
        expect(page.locator("#queue-said")).to_have_text("No signal.")
        shot(page, "not-kept")
        assert violations(page) == []
        page.get_by_role("link", name="Type a tag").click()
        expect(page.get_by_label("Tag")).to_be_visible()

    def test_a_page_that_is_not_kept_says_so_in_the_readers_language(self, cast, away):
        User.objects.filter(pk=cast.staff.user_id).update(language="es")
        phone = away(cast.staff)
        phone.visit()
        phone.cut()
        page = phone.open("horses/")
        expect(page.get_by_role("heading", level=1)).to_have_text("Sin señal")


def test_a_page_left_open_asks_nothing_that_whoever_signed_in_is_refused(cast, away):
    """The first one's list is open while a manager signs in in another tab; nothing is complained of."""
    phone = away(cast.staff)
    page = phone.visit()
    asked = len(phone.wire.passed)
    phone.sign_in(cast.manager)
    page.evaluate("dispatchEvent(new Event('online'))")
    other = phone.context.new_page()
    heard = []
    for one in (page, other):
        one.on("response", lambda answer: heard.append((answer.status, answer.url)))
        one.on("console", lambda said: heard.append((999, said.text)) if said.type == "error" else None)
    other.goto(f"{phone.wire.url}/barns/home/")
    other.wait_for_timeout(500)
    for method, path in phone.wire.passed[asked:]:
        assert not path.endswith("/kept/"), (method, path)
    assert [one for one in heard if one[0] >= 400] == []


def test_a_house_behind_a_proxy_that_is_away_is_no_signal(cast, away):
    phone, line = away(cast.staff), line_of(cast)
    page = phone.visit()
    phone.wire.rule = lambda method, path: 502
    phone.open()
    expect(page.locator(f"#line-{line.pk}")).to_contain_text("Bramble")
    expect(page.locator("#queue-said")).to_contain_text("No signal.")
    expect(page.locator("#queue-more")).to_contain_text("This page was kept at")
    phone.wire.rule = lambda method, path: None
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator("#queue-said")).to_contain_text("There is signal again.")
    page.get_by_role("link", name="Open it as it is now").click()
    expect(page.locator("#queue")).to_be_hidden()


@pytest.mark.parametrize("by", [26, -26])
def test_a_clock_that_is_off_hides_no_kept_page_and_keeps_all(cast, away, by):
    phone = away(cast.staff)
    phone.context.add_init_script(f"(() => {{ const real = Date.now; Date.now = () => real() + {by} * 3600000; }})()")
    page = phone.visit()
    expect(page.locator("#queue")).to_be_hidden()
    phone.cut()
    phone.open()
    expect(page.locator("#queue-more")).to_contain_text("This page was kept at")


def test_a_list_that_changed_while_the_phone_was_away_says_what_changed(cast, away):
    phone, line, other = away(cast.staff), line_of(cast), line_of(cast, "barn_horse")
    page = phone.visit()
    phone.cut()
    phone.open()
    ListLine.objects.filter(pk=line.pk).update(tags_to=["BRN88"])
    lists.mark_not_done(other, why="No time", actor=Actor(cast.manager))
    phone.signal()
    phone.open()
    away_box = page.locator("#away")
    expect(away_box).to_contain_text("Bramble: now BRN88, before")
    expect(away_box).to_contain_text("Fern: noted by somebody else meanwhile.")
    shot(page, "changed-while-away")
    assert violations(page) == []
    phone.open()
    expect(page.locator("html[data-kept=all]")).to_be_attached(timeout=120_000)
    expect(away_box).to_have_count(0)


def test_a_list_that_stood_open_without_signal_says_what_changed_and_so_does_the_next_one(cast, away):
    """Tapped on while it was cut, then opened again with signal; another list is looked at first."""
    phone, line = away(cast.staff), line_of(cast)
    back, left, neck = line_of(cast, "barn_horse"), line_of(cast, "other_horse"), line_of(cast, "staff_owners_horse")
    gone = ListLine.objects.exclude(pk__in=[line.pk, back.pk, left.pk, neck.pk]).get(change_list=line.change_list)
    lists.mark_not_done(back, why="No time", actor=Actor(cast.manager))
    second = make_list(cast, ahead=timedelta(hours=24))
    page = phone.visit()
    other = f"lists/{second.day}/{second.session}/"
    phone.open(other)
    phone.open()
    expect(page.locator("html[data-kept=all]")).to_be_attached(timeout=120_000)
    phone.cut()
    phone.tap(line.pk, "^Done")
    phone.waiting(1)
    expect(page.locator("#queue-more")).to_contain_text("No signal")
    lists.take_back(back, actor=Actor(cast.manager))
    lists.mark_not_done(left, why="No time", actor=Actor(cast.manager))
    ListLine.objects.filter(pk=neck.pk).update(neck=True)
    Horse.objects.filter(pk=gone.horse_id).update(presence="away")
    later = ListLine.objects.get(change_list=second, horse=line.horse)
    ListLine.objects.filter(pk=later.pk).update(tags_to=["BRN88"], neck=False)
    phone.signal()
    phone.send_now()
    phone.all_sent()
    page.goto(f"{phone.wire.url}{HOME}{other}")
    expect(page.locator("#away")).to_contain_text("Bramble: now BRN88, before")
    phone.open()
    said = page.locator("#away li")
    expect(said.first).to_be_visible()
    tags = " ".join(neck.tags_to)
    assert sorted(said.all_inner_texts()) == sorted(
        [
            f"{back.horse}: what was noted was taken back.",
            f"{left.horse}: noted by somebody else meanwhile.",
            f"{neck.horse}: now {tags}, neck on, before {tags}.",
            f"{gone.horse}: no longer on the list.",
        ]
    )
    phone.open()
    expect(page.locator("html[data-kept=all]")).to_be_attached(timeout=120_000)
    expect(page.locator("#away")).to_have_count(0)


def test_everything_that_can_be_noted_is_noted_without_signal(cast, away, tmp_path):
    phone, line, other = away(cast.staff), line_of(cast), line_of(cast, "barn_horse")
    third = line_of(cast, "other_horse")
    page = phone.visit()
    phone.cut()
    phone.open(f"lines/{other.pk}/other/")
    page.locator("label", has_text="Another one, by its tag").click()
    page.get_by_label("Tags").fill("BRN88")
    page.get_by_label("The owner asked for it").check()
    page.get_by_role("button", name="Done so").click()
    phone.waiting(1)
    phone.open(f"lines/{third.pk}/not-done/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Not done: Dapple")
    page.get_by_label("There was no time").check()
    page.get_by_role("button", name="Not done").click()
    phone.waiting(2)
    phone.open(f"horses/{line.horse_id}/hand-check/")
    page.get_by_role("button", name="Warm").click()
    phone.waiting(3)
    picture = tmp_path / "torn.jpg"
    Image.new("RGB", (900, 700), "brown").save(picture)
    phone.open(f"horses/{line.horse_id}/damage/")
    page.get_by_label("Strap", exact=True).check()
    page.get_by_text("Add a note or a picture").click()
    page.get_by_label("Picture").set_input_files(picture)
    page.get_by_role("button", name="Do not use").click()
    phone.waiting(4)
    phone.tap(line.pk, "Done")
    phone.waiting(5)
    phone.signal()
    phone.send_now()
    phone.all_sent()
    for one in (line, other, third):
        one.refresh_from_db()
    assert (other.outcome, other.tags_done, other.why) == ("other", ["BRN88"], "The owner asked for it")
    assert (third.outcome, third.why) == ("not_done", "There was no time")
    assert HandCheck.objects.get().felt == "warm"
    job = CareJob.objects.get(blanket=cast.worn)
    assert (job.part, job.do_not_use, Picture.objects.filter(blanket=cast.worn).count()) == ("strap", True, 1)


def test_taken_back_without_signal(cast, away):
    phone, line = away(cast.staff), line_of(cast)
    page = phone.visit()
    phone.cut()
    phone.open()
    phone.tap(line.pk, "^Done")
    phone.waiting(1)
    phone.tap(line.pk, "Take back")
    phone.waiting(2)
    expect(page.locator(f"#line-{line.pk}")).to_contain_text("Taken back · On this phone")
    expect(page.locator(f"#line-{line.pk}").get_by_role("button", name=re.compile("^Done"))).to_be_visible()
    phone.signal()
    phone.send_now()
    phone.all_sent()
    line.refresh_from_db()
    assert line.outcome == ""
    assert JournalEntry.objects.filter(action__in=["line_done", "line_taken_back"]).count() == 2


class TestSharedPhone:
    PIN = "2580"

    @pytest.fixture
    def shared(self, cast, away):
        """Two have come in by their PIN with signal; the second is at the phone."""
        devices.set_pin(cast.staff, pin=self.PIN, actor=Actor(cast.staff))
        devices.set_pin(cast.staff_owner, pin="1470", actor=Actor(cast.staff_owner))
        code = devices.code_for(uuid.uuid4())
        devices.enrol("Barn phone", code=code, actor=Actor(cast.manager))
        phone = away()
        phone.page.goto(f"{phone.wire.url}/this-phone/enrol/")
        shot(phone.page, "enrol")
        assert violations(phone.page) == []
        phone.page.get_by_label("Code of the phone").fill(code)
        phone.page.get_by_role("button", name="Enrol this phone").click()
        self.come_in(phone, "Staff Owner", "1470")
        expect(phone.page.locator("html[data-kept=all]")).to_be_attached(timeout=120_000)
        self.come_in(phone, "Staff", self.PIN)
        expect(phone.page.locator("html[data-kept=all]")).to_be_attached(timeout=120_000)
        return phone

    def come_in(self, phone, name, pin):
        phone.page.goto(f"{phone.wire.url}/this-phone/")
        phone.page.get_by_label(name, exact=True).check()
        phone.page.get_by_label("Your PIN").fill(pin)
        phone.page.get_by_role("button", name="Come in").click()
        expect(phone.page.locator("#phone-told")).to_be_attached()

    def test_two_note_without_signal_each_as_themselves(self, cast, shared):
        line, other, page = line_of(cast), line_of(cast, "barn_horse"), shared.page
        shared.cut()
        shared.open()
        shared.tap(line.pk, "^Done")
        shared.waiting(1)
        self.come_in(shared, "Staff Owner", "1470")
        shared.tap(other.pk, "^Done")
        shared.waiting(2)
        page.locator("#queue summary").click()
        shot(page, "two-people")
        shared.signal()
        shared.send_now()
        shared.all_sent()
        line.refresh_from_db()
        other.refresh_from_db()
        assert (line.done_by, other.done_by) == (cast.staff, cast.staff_owner)
        entries = JournalEntry.objects.filter(action="line_done")
        assert set(entries.values_list("person_key", flat=True)) == {cast.staff.key, cast.staff_owner.key}
        assert set(entries.values_list("device_key", flat=True)) == {Device.objects.get(name="Barn phone").key}

    def test_a_pin_taken_up_in_the_middle_of_a_call(self, cast, shared):
        """The second comes in while the first one's tap is on its way: it arrives once, as the first one's."""
        line, page, arrived = line_of(cast), shared.page, threading.Event()
        shared.wire.rule = lambda method, path: BEFORE if path == "/token/" else None
        shared.tap(line.pk, "^Done")
        shared.waiting(1)
        shared.wire.rule = lambda method, path: None
        shared.wire.meanwhile = lambda method, path: path.endswith("/send/") and arrived.wait(20)
        page.evaluate("() => { window.all = barnQueue.send('home', '/barns/home/send/'); }")
        second = Away(shared.context, shared.wire)
        second.page = shared.context.new_page()
        self.come_in(second, "Staff Owner", "1470")
        arrived.set()
        page.evaluate("window.all")
        second.page.evaluate("barnQueue.send('home', '/barns/home/send/')")
        assert second.states() == ["sent"]
        line.refresh_from_db()
        assert (line.outcome, line.done_by) == ("done", cast.staff)
        assert JournalEntry.objects.filter(action="line_done").count() == 1

    def test_the_other_sees_what_is_not_sent_yet_by_whom(self, cast, shared):
        line, page = line_of(cast), shared.page
        shared.cut()
        shared.open()
        shared.tap(line.pk, "^Done")
        shared.waiting(1)
        self.come_in(shared, "Staff Owner", "1470")
        row = page.locator(f"#line-{line.pk}")
        expect(row).to_contain_text("Done · On this phone · Staff")
        expect(row.get_by_role("button", name="Take back")).to_have_count(0)
        shot(page, "noted-by-another")
        assert violations(page) == []

    def test_a_page_of_somebody_else_is_not_for_whoever_came_in_by_pin(self, cast, shared):
        """Without signal the second came in by their PIN; with signal the first one's session is still there."""
        page = shared.page
        shared.cut()
        self.come_in(shared, "Staff Owner", "1470")
        shared.signal()
        page.goto(f"{shared.wire.url}/barns/home/due/")
        page.wait_for_url("**/this-phone/")

    @pytest.mark.parametrize("by_way_of", ["list", "sign out"])
    def test_without_signal_one_taps_ones_way_to_the_next_one(self, cast, shared, by_way_of):
        """An installed app has no address to type."""
        page = shared.page
        page.evaluate("caches.delete('phone')")
        shared.visit()
        page.get_by_role("link", name="Somebody else").wait_for()
        shared.cut()
        if by_way_of == "sign out":
            page.get_by_role("link", name="Sign out").click()
            expect(page.get_by_role("heading", level=1)).to_have_text("No signal")
            assert violations(page) == []
            page.locator("main").get_by_role("link", name="Somebody else").click()
        else:
            page.reload()
            assert violations(page) == []
            assert sideways(page) == 0
            shot(page, "somebody-else")
            page.locator("header").get_by_role("link", name="Somebody else").click()
        page.get_by_label("Staff Owner", exact=True).check()
        page.get_by_label("Your PIN").fill("1470")
        page.get_by_role("button", name="Come in").click()
        expect(page.locator(".who")).to_contain_text("Staff Owner")
        expect(page.locator(f"#line-{line_of(cast).pk}")).to_be_visible()

    def test_signed_out_on_a_shared_phone_the_next_one_comes_in_without_signal(self, cast, shared):
        page = shared.page
        page.goto(f"{shared.wire.url}/account/logout/")
        page.locator("main").get_by_role("button", name="Sign out").click()
        page.wait_for_url("**/login/**")
        shared.cut()
        page.goto(f"{shared.wire.url}/")
        expect(page.get_by_role("heading", level=1)).to_have_text("No signal")
        page.get_by_role("link", name="Somebody else").click()
        page.get_by_label("Staff Owner", exact=True).check()
        page.get_by_label("Your PIN").fill("1470")
        page.get_by_role("button", name="Come in").click()
        expect(page.locator(f"#line-{line_of(cast).pk}")).to_be_visible()

    def test_a_phone_of_ones_own_offers_nobody_else(self, cast, away):
        phone = away(cast.staff)
        page = phone.visit(whole=False)
        assert page.get_by_role("link", name="Somebody else").count() == 0
        page.goto(f"{phone.wire.url}/no-signal/")
        page.wait_for_timeout(300)
        assert page.get_by_role("link", name="Somebody else").count() == 0

    def test_whoever_signs_in_by_password_after_that_is_at_the_phone(self, cast, shared):
        shared.sign_in(cast.staff_owner)
        page = shared.visit(whole=False)
        expect(page.locator(".who")).to_contain_text("Staff Owner")
        who = page.evaluate("barnQueue.active().then(({ name, byPin }) => [name, byPin])")
        assert who == ["Staff Owner", False]

    def test_a_wrong_pin_without_signal_opens_nothing_and_is_slowed(self, cast, shared):
        page = shared.page
        shared.cut()
        page.goto(f"{shared.wire.url}/this-phone/")
        for _try in range(5):
            page.get_by_label("Staff Owner", exact=True).check()
            page.get_by_label("Your PIN").fill("9999")
            page.get_by_role("button", name="Come in").click()
            expect(page.locator("#who-said")).to_contain_text("not the PIN")
            page.evaluate("document.getElementById('who-said').textContent = ''")
        page.get_by_label("Your PIN").fill("1470")
        page.get_by_role("button", name="Come in").click()
        expect(page.locator("#who-said")).to_contain_text("quarter of an hour")
        shot(page, "slowed")
        assert violations(page) == []

    def test_the_pin_and_the_open_seal_are_not_in_the_phones_store(self, cast, shared):
        held = shared.page.evaluate(
            "Promise.all(['queue', 'state', 'people'].map((name) => barnStore.all(name))).then((all) => "
            "JSON.stringify(all, (key, value) => value instanceof ArrayBuffer || ArrayBuffer.isView(value) ? "
            "Array.from(new Uint8Array(value.buffer || value)).map((b) => b.toString(16).padStart(2, '0')).join('') "
            ": value))"
        )
        seal = devices.seal_key(Device.objects.get(name="Barn phone"), cast.staff)
        assert self.PIN not in re.sub(r"[0-9a-f]{16,}|\d{10,}", "", held)
        assert seal not in held

    def test_a_revoked_phone_is_told_and_cleared_and_its_queue_comes_before_the_manager(self, cast, shared):
        line, page = line_of(cast), shared.page
        shared.cut()
        shared.open()
        shared.tap(line.pk, "^Done")
        shared.waiting(1)
        devices.revoke(Device.objects.get(name="Barn phone"), actor=Actor(cast.manager))
        shared.signal()
        shared.send_now()
        expect(page.locator("#queue-shout")).to_contain_text("no longer belongs to the barn")
        expect(page.locator("#queue-shout")).to_contain_text("given to the manager")
        expect(page.get_by_role("heading", level=1)).to_have_text("This phone is cleared")
        expect(page.locator("main")).not_to_contain_text("All done in one place")
        shot(page, "revoked")
        assert violations(page) == []
        assert page.evaluate("barnStore.keys('state').then((all) => all.filter((key) => /map|seen/.test(key)))") == []
        assert "phone" not in page.evaluate("caches.keys()")
        question = Question.objects.get()
        assert (question.kind, question.person, question.horse) == ("revoked", cast.staff, line.horse)
        assert ListLine.objects.get(pk=line.pk).outcome == ""
        assert [name for name in page.evaluate("caches.keys()") if name.startswith("kept/")] == []
        assert page.evaluate("barnStore.all('people')") == []

    @pytest.mark.parametrize(
        ("path", "waits"),
        [("/barns/home/due/", True), ("/this-phone/", False), ("/account/login/", True)],
    )
    def test_a_revoked_phone_is_told_at_its_next_page_whichever_that_is(self, cast, shared, path, waits):
        """Its list is closed, and it may have nothing to send."""
        page = shared.page
        if waits:
            shared.cut()
            shared.tap(line_of(cast).pk, "^Done")
            shared.waiting(1)
        page.goto("about:blank")
        devices.revoke(Device.objects.get(name="Barn phone"), actor=Actor(cast.manager))
        shared.signal()
        page.goto(f"{shared.wire.url}{path}")
        told = page.locator("#phone-cleared")
        expect(told).to_contain_text("no longer belongs to the barn")
        assert ("given to the manager" in told.inner_text()) is waits
        shot(page, "revoked-at-the-next-page")
        assert violations(page) == []
        assert [one.kind for one in Question.objects.all()] == (["revoked"] if waits else [])
        self.keeps_nothing(shared)

    def keeps_nothing(self, phone):
        page = phone.page
        assert [name for name in page.evaluate("caches.keys()") if re.match("kept/|phone", name)] == []
        assert page.evaluate("Promise.all([barnStore.all('people'), barnQueue.active()])") in ([[], None], [[]])
        phone.cut()
        phone.open()
        expect(page.get_by_role("heading", level=1)).to_have_text("No signal")
        page.goto(f"{phone.wire.url}/this-phone/")
        expect(page.get_by_role("heading", level=1)).to_have_text("No signal")

    @pytest.mark.parametrize("waits", [True, False])
    def test_somebody_who_left_is_told_on_the_page_that_they_may_not_see_any_more(self, cast, away, waits):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        if waits:
            phone.cut()
            phone.tap(line.pk, "^Done")
            phone.waiting(1)
        page.goto("about:blank")
        people.leaves(cast.staff, actor=Actor(cast.manager))
        phone.signal()
        phone.open()
        expect(page.get_by_role("heading", level=1)).to_have_text("Nothing here")
        expect(page.locator("#phone-cleared")).to_contain_text("you have left it")
        assert [one.kind for one in Question.objects.all()] == (["left"] if waits else [])
        self.keeps_nothing(phone)

    def test_on_a_shared_phone_that_stays_only_who_left_is_forgotten(self, cast, shared):
        people.leaves(cast.staff, actor=Actor(cast.manager))
        page = shared.page
        page.goto(f"{shared.wire.url}/this-phone/")
        for _turn in range(100):
            if page.evaluate("barnStore.keys('people')") == [f"home/{cast.staff_owner.key}"]:
                break
            page.wait_for_timeout(100)
        assert page.evaluate("barnStore.keys('people')") == [f"home/{cast.staff_owner.key}"]
        kept = [name for name in page.evaluate("caches.keys()") if name.startswith("kept/")]
        assert kept == [f"kept/home/{cast.staff_owner.key}"]
        expect(page.locator("#phone-cleared")).to_have_count(0)

    def test_a_phone_that_stays_clears_and_sends_nothing_where_one_signs_in(self, cast, shared):
        page = shared.page
        shared.cut()
        shared.tap(line_of(cast).pk, "^Done")
        shared.waiting(1)
        page.goto("about:blank")
        shared.context.clear_cookies(name="sessionid")
        shared.signal()
        before = len(shared.wire.passed)
        with page.expect_response("**/token/"):
            page.goto(f"{shared.wire.url}/account/login/")
        page.wait_for_timeout(500)
        assert not [one for one in shared.wire.passed[before:] if one[0] == "POST"]
        assert shared.states() == ["waiting"]
        assert len([name for name in page.evaluate("caches.keys()") if name.startswith("kept/")]) == 2
        assert len(page.evaluate("barnStore.keys('people')")) == 2
        expect(page.locator("#phone-cleared")).to_have_count(0)

    def test_somebody_who_left_on_a_phone_of_their_own(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.tap(line.pk, "^Done")
        phone.waiting(1)
        people.leaves(cast.staff, actor=Actor(cast.manager))
        phone.signal()
        phone.send_now()
        expect(page.locator("#queue-shout")).to_contain_text("given to the manager")
        assert Question.objects.get().kind == "left"
        assert [name for name in page.evaluate("caches.keys()") if name.startswith("kept/")] == []


def test_the_manifest_makes_it_installable(cast, away):
    """What a browser asks of an installable page: a name, a start, a display of its own, icons of 192 and 512 points
    (W3C, Web Application Manifest; sizes as Chromium's installability criteria name them, from memory)."""
    phone = away(cast.staff)
    page = phone.visit(whole=False)
    manifest = page.evaluate("fetch(document.querySelector('link[rel=manifest]').href).then((a) => a.json())")
    assert (manifest["display"], manifest["start_url"], manifest["scope"]) == ("standalone", "/", "/")
    for icon in manifest["icons"]:
        found = phone.context.request.get(f"{phone.wire.url}{icon['src']}")
        with Image.open(io.BytesIO(found.body())) as image:
            assert f"{image.width}x{image.height}" == icon["sizes"]


def test_without_script_the_forms_go_to_the_house(cast, away):
    phone, line = away(cast.staff, java_script_enabled=False), line_of(cast)
    phone.open()
    phone.tap(line.pk, "^Done")
    expect(phone.page.locator(f"#line-{line.pk}")).to_contain_text("Staff")
    assert ListLine.objects.get(pk=line.pk).outcome == "done"


def test_the_questions_page_passes_the_scan(cast, away):
    line, manager = line_of(cast), cast.manager
    lists.mark_not_done(line, why="No time", actor=Actor(manager))
    own_phone(cast.staff).send(own_phone(cast.staff).event("done", line=line))
    phone = away(manager)
    page = phone.open("questions/")
    shot(page, "question")
    assert violations(page) == []
    assert sideways(page) == 0
    page.get_by_role("button", name="It stays as it stands").click()
    expect(page.locator("#messages")).to_contain_text("Answered.")
    page = phone.open("phones/")
    assert violations(page) == []
