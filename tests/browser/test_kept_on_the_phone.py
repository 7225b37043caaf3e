"""What a phone says of itself: what was sent, how much of the coming day it keeps; what is not kept leads on."""

import re
import threading

import pytest
from playwright.sync_api import expect

from barnrugs.barns.models import User
from horses.models import Horse
from inventory.models import HandCheck, ListLine
from tests.browser.away import Away, away, shot, wire
from tests.browser.looking import boxes, sideways, violations
from tests.browser.test_offline import cast
from tests.inventory.lists import line_of

__all__ = ["away", "cast", "wire"]

ADD = "(told) => barnQueue.add(told)"
SEND = "barnQueue.send('home', '/barns/home/send/')"
LINE_PX = 56
"""How much the quiet line may take of a phone."""

SIZES = {"phone": (360, 740), "desktop": (1280, 800)}


def sound(phone: Away, name: str) -> None:
    """The page stands the scan in both schemes, on a phone and on a wide screen."""
    for size, (width, height) in SIZES.items():
        phone.page.set_viewport_size({"width": width, "height": height})
        for scheme in ("dark", "light"):
            phone.page.emulate_media(color_scheme=scheme)
            assert violations(phone.page) == []
            assert sideways(phone.page) == 0
            shot(phone.page, f"{name}-{size}-{scheme}")
    phone.page.set_viewport_size(dict(zip(("width", "height"), SIZES["phone"], strict=True)))


def speaks_spanish(person) -> None:
    User.objects.filter(pk=person.user_id).update(language="es")


def test_a_row_that_is_answered_on_a_page_without_a_list_is_no_fault(cast, away):
    """The house answers with the line's row and the list's progress; the page of Not done has neither."""
    phone, line = away(cast.staff), line_of(cast)
    page = phone.visit(f"lines/{line.pk}/not-done/")
    page.evaluate(ADD, {"kind": "not_done", "line": line.pk, "label": "Bramble", "fields": {"why": "No time"}})
    page.evaluate(SEND)
    phone.all_sent()
    assert ListLine.objects.get(pk=line.pk).outcome == "not_done"


class TestTheQuietLine:
    def test_it_is_small_after_the_first_answer_and_has_what_was_sent_behind_it(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.tap(line.pk, "^Done")
        phone.all_sent()
        expect(page.locator("#queue")).to_be_hidden()
        expect(page.locator("#phone-kept")).to_contain_text("Kept on this phone")
        progress, quiet = boxes(page, "#progress", "#phone-line")
        assert quiet["top"] >= progress["bottom"]
        assert quiet["height"] <= LINE_PX
        page.locator("#phone-line summary").click()
        expect(page.locator("#phone-items")).to_contain_text("Bramble: Done")
        expect(page.locator("#phone-items")).to_contain_text("Sent")
        sound(phone, "sent-and-kept")

    def test_in_spanish_it_is_as_small(self, cast, away):
        speaks_spanish(cast.staff)
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.tap(line.pk, "^Hecho")
        expect(page.locator("#phone-said")).to_have_text("Todo mandado.")
        expect(page.locator("#phone-kept")).to_contain_text("Guardado en este teléfono")
        assert boxes(page, "#phone-line")[0]["height"] <= LINE_PX
        sound(phone, "sent-and-kept-spanish")

    @pytest.mark.parametrize("language", ["en", "es"])
    def test_whatever_it_says_it_stays_small(self, cast, away, language):
        User.objects.filter(pk=cast.staff.user_id).update(language=language)
        page = away(cast.staff).visit()
        heights = page.evaluate(
            """(language) => {
              const { words } = JSON.parse(document.getElementById("phone-told").textContent);
              const [sent, kept] = ["phone-said", "phone-kept"].map((id) => document.getElementById(id));
              sent.textContent = words.all_sent;
              sent.hidden = false;
              const filled = { "%of": "160", "%n": "141", "%at": language === "es" ? "mié, 07:00" : "Wed 07:00" };
              return ["kept_all", "keeping", "kept_some", "kept_none"].map((word) => {
                const put = (text, [is, value]) => text.replace(is, value);
                kept.textContent = Object.entries(filled).reduce(put, words[word]);
                return [kept.textContent, document.getElementById("phone-line").getBoundingClientRect().height];
              });
            }""",
            language,
        )
        assert [text for text, height in heights if height > LINE_PX] == []

    def test_what_waits_is_as_prominent_as_ever(self, cast, away):
        phone, line = away(cast.staff), line_of(cast)
        page = phone.visit()
        phone.cut()
        phone.tap(line.pk, "^Done")
        phone.waiting(1)
        heading, loud = boxes(page, "h1", "#queue")
        assert loud["bottom"] <= heading["top"]
        expect(page.locator("#queue-said")).to_contain_text("1 on this phone, not sent yet.")
        expect(page.locator("#queue-send")).to_be_visible()
        expect(page.locator("#phone-said")).to_be_empty()
        page.locator("#queue summary").click()
        expect(page.locator("#queue-items")).to_contain_text("Bramble: Done")
        expect(page.locator("#phone-items li")).to_have_count(0)

    def test_it_says_until_when_all_is_kept_with_and_without_signal(self, cast, away):
        phone = away(cast.staff)
        page = phone.visit()
        kept = page.locator("#phone-kept")
        expect(kept).to_have_text(
            re.compile(r"^Kept on this phone for without signal: everything up to \w{3},? \d\d:\d\d\.$")
        )
        said = kept.inner_text()
        phone.cut()
        phone.open()
        expect(page.locator("#queue-more")).to_contain_text("This page was kept at")
        expect(kept).to_have_text(said)

    def test_while_pages_are_being_kept_it_counts_them_and_says_so_when_it_came_to_less(self, cast, away):
        phone = away(cast.staff)
        held = held_up(phone, "/hand-check/")
        page = phone.visit(whole=False)
        expect(page.locator("#phone-kept")).to_have_text(
            re.compile(r"^Still being kept for without signal: stay in signal\. \d+ of \d+ pages\.$")
        )
        assert boxes(page, "#phone-line")[0]["height"] <= LINE_PX
        shot(page, "being-kept")
        phone.cut()
        held.set()
        expect(page.locator("html[data-kept=some]")).to_be_attached(timeout=60_000)
        expect(page.locator("#phone-kept")).to_have_text(
            re.compile(r"^Kept on this phone for without signal: only \d+ of \d+ pages\.$")
        )


def held_up(phone: Away, part: str) -> threading.Event:
    """Pages for the phone whose address holds this wait for the event that is given back."""
    go = threading.Event()

    def wait(_method: str, path: str) -> None:
        if part in path and "/kept/" not in path:
            go.wait(60)

    phone.wire.meanwhile = wait
    return go


class TestBeforeAllIsKept:
    def test_the_hand_check_of_a_horse_on_the_list_opens_from_its_stand_in(self, cast, away):
        Horse.objects.filter(pk=cast.owners_horse.pk).update(handling_note="Kicks behind.", two_people=True)
        phone, line = away(cast.staff), line_of(cast)
        phone.wire.rule = lambda method, path: 404 if re.search(r"/horses/\d+/hand-check/", path) else None
        page = phone.visit(whole=False)
        expect(page.locator("html[data-kept=some]")).to_be_attached(timeout=60_000)
        phone.wire.rule = lambda method, path: None
        phone.cut()
        phone.open()
        page.locator(f"#line-{line.pk}").get_by_role("link", name=re.compile("^Hand check")).click()
        expect(page.get_by_role("heading", level=1)).to_have_text("Hand check: Bramble")
        expect(page.locator("main")).to_contain_text("On now: WRN22.")
        expect(page.locator("main")).to_contain_text("Needs two people. Kicks behind.")
        sound(phone, "hand-check-stand-in")
        page.get_by_role("button", name="Cold").click()
        expect(page.locator("#noted")).to_contain_text("Noted on this phone: Cold")
        phone.waiting(1)
        [item] = phone.queue()
        assert (item["label"], item["about"]) == ("Bramble", {"horse": line.horse_id})
        phone.signal()
        phone.send_now()
        phone.all_sent()
        assert HandCheck.objects.get().horse_id == line.horse_id

    def test_a_page_that_is_not_kept_claims_no_time_and_leads_to_the_list_that_was_open(self, cast, away):
        phone = away(cast.staff)
        page = phone.visit()
        phone.cut()
        phone.open()
        at_hand = page.evaluate("location.pathname")
        phone.open("horses/")
        expect(page.get_by_role("heading", level=1)).to_have_text("No signal")
        expect(page.locator("#queue-said")).to_have_text("No signal.")
        expect(page.locator("#phone-kept")).to_contain_text("everything up to")
        expect(page.locator("main")).not_to_contain_text("This page was kept at")
        expect(page.get_by_role("link", name="Type a tag")).to_be_visible()
        expect(page.locator("[data-no-list]")).to_be_hidden()
        sound(phone, "not-kept")
        page.get_by_role("link", name="To the list that is kept").click()
        page.wait_for_url(f"**{at_hand}")
        expect(page.locator("li.due-line").first).to_be_visible()

    def test_it_leads_to_nothing_that_is_not_kept(self, cast, away):
        speaks_spanish(cast.staff)
        phone = away(cast.staff)
        phone.wire.rule = lambda method, path: 404 if "/lists/" in path or path.endswith("/tag/") else None
        page = phone.visit(whole=False)
        expect(page.locator("html[data-kept=some]")).to_be_attached(timeout=60_000)
        phone.wire.rule = lambda method, path: None
        phone.cut()
        phone.open("tag/")
        expect(page.get_by_role("heading", level=1)).to_have_text("Sin señal")
        expect(page.locator("[data-no-list]")).to_be_visible()
        expect(page.locator("main .btn-field")).to_have_count(2)
        for link in page.locator("main .btn-field").all():
            expect(link).to_be_hidden()
        expect(page.locator("#queue-shout")).to_have_count(0)
        sound(phone, "not-kept-spanish")


def test_a_hand_check_is_said_to_be_noted_where_it_was_tapped_at_once(cast, away):
    phone, line = away(cast.staff), line_of(cast)
    held = held_up(phone, "/send/")
    page = phone.visit(f"horses/{line.horse_id}/hand-check/")
    tapped = page.locator("[name=felt][value=cold]")
    before = boxes(page, "[name=felt][value=cold]")[0]["top"]
    tapped.click()
    expect(tapped).to_have_text("Noted: Cold. Sending …")
    expect(page.locator("#queue-send")).to_be_attached()
    page.wait_for_function(
        "(top) => !document.getElementById('queue').hidden && "
        "Math.abs(document.querySelector('[name=felt][value=cold]').getBoundingClientRect().top - top) < 2",
        arg=before,
    )
    expect(page.locator("[name=felt][value=warm]")).to_be_hidden()
    assert phone.states() == ["waiting"]
    shot(page, "noted-sending")
    held.set()
    page.wait_for_url(f"**/horses/{line.horse_id}/hand-checks/")
    assert HandCheck.objects.get().felt == "cold"
