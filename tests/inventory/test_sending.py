"""What phones send of what was done without signal: once, in order, by whom, when; and what contradicts is asked."""

import hashlib
import io
import json
import uuid
from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, OperationalError, connection
from django.test import Client
from django.utils import timezone
from PIL import Image

from barnrugs.barns.domain import devices
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, Person, SentWrite
from barnrugs.barns.this_device import COOKIE
from inventory.domain import lists, wearing
from inventory.enums import LineOutcome, QuestionKind
from inventory.models import Blanket, CareJob, ChangeList, HandCheck, ListLine, Picture, Question, Wearing
from tests import factories as make
from tests.phones import Phone, own_phone, shared_phone

pytestmark = pytest.mark.django_db


def a_line(cast, horse, to, frm=()):
    lately = timezone.now()

    change_list = ChangeList.objects.filter(barn=cast.barn).first()
    change_list = change_list or make.ChangeListFactory(
        barn=cast.barn, day=lately.date(), due_at=lately, made_at=lately
    )
    return make.ListLineFactory(change_list=change_list, horse=horse, tags_from=list(frm), tags_to=list(to))


def at(person, *, hours):
    """Somebody who noted something so long ago."""
    return Actor(person, now=timezone.now() - timedelta(hours=hours))


def list_of(cast, *, hours, horse, to):
    """A horse's line on a list of its own, due so long ago."""
    due = timezone.now() - timedelta(hours=hours)
    day = due.date() - timedelta(days=ChangeList.objects.count())
    made = make.ChangeListFactory(barn=cast.barn, day=day, due_at=due, made_at=due)
    return make.ListLineFactory(change_list=made, horse=horse, tags_from=list(to), tags_to=list(to))


def noted(cast, horse, to, *, hours, by=None):
    """The manager, or who is named, noted Done on the list of so many hours ago."""
    return lists.mark_done(list_of(cast, hours=hours, horse=horse, to=to), actor=at(by or cast.manager, hours=hours))


@pytest.fixture
def line(cast):
    """The barn's horse shall wear the barn's blanket; it wears nothing now."""
    return a_line(cast, cast.barn_horse, [cast.barn_blanket.tag])


@pytest.fixture
def phone(cast):
    return own_phone(cast.staff)


def on(horse):
    return {worn.blanket.tag for worn in Wearing.objects.filter(horse=horse, off_at=None)}


def failing(fault, *parts):
    """A database that fails once, at the first statement in which all of these stand."""
    left = [fault]

    def run(execute, sql, params, many, context):
        text = f"{sql} {params}".replace("-", "")
        if left and all(part.replace("-", "") in text for part in parts):
            raise left.pop()
        return execute(sql, params, many, context)

    return run


def a_picture():
    out = io.BytesIO()
    Image.new("RGB", (200, 150), "brown").save(out, "JPEG")
    return out.getvalue()


class TestWhatIsDone:
    def test_done(self, cast, phone, line):
        before = timezone.now() - timedelta(seconds=301)
        assert phone.statuses(phone.event("done", line=line, ago=300, tags=[cast.barn_blanket.tag])) == ["done"]
        line.refresh_from_db()
        assert (line.outcome, line.done_by, line.tags_done) == (LineOutcome.DONE, cast.staff, [cast.barn_blanket.tag])
        assert before < line.done_at < before + timedelta(seconds=30)
        worn = Wearing.objects.get(horse=cast.barn_horse)
        assert (worn.on_at, worn.on_by, worn.overlaps) == (line.done_at, cast.staff, False)

    def test_something_else(self, cast, phone, line):
        other = make.BlanketFactory(barn=cast.barn, tag="SPR99")
        told = phone.event("other", line=line, tags=["spr99"], why="The other was wet")
        assert phone.statuses(told) == ["done"]
        line.refresh_from_db()
        assert (line.outcome, line.tags_done, line.why) == ("other", [other.tag], "The other was wet")
        assert on(cast.barn_horse) == {"SPR99"}

    def test_not_done_and_taken_back_and_done_after_all(self, cast, phone, line):
        events = [
            phone.event("not_done", line=line, why="It would not let me"),
            phone.event("take_back", line=line),
            phone.event("done", line=line),
        ]
        assert phone.statuses(*events) == ["done", "done", "done"]
        line.refresh_from_db()
        assert line.outcome == LineOutcome.DONE
        names = JournalEntry.objects.order_by("pk").values_list("action", flat=True)
        assert [name for name in names if name.startswith("line")] == ["line_not_done", "line_taken_back", "line_done"]

    def test_what_the_list_no_longer_says_was_still_done_as_the_phone_showed_it(self, cast, phone, line):
        told = phone.event("done", line=line, tags=[cast.barn_blanket.tag])
        ListLine.objects.filter(pk=line.pk).update(tags_to=[cast.owners_liner.tag])
        assert phone.statuses(told) == ["done"]
        line.refresh_from_db()
        assert (line.outcome, line.tags_done) == ("other", [cast.barn_blanket.tag])
        assert "when the phone last saw it" in line.why

    def test_a_change_on_the_horse(self, cast, phone):
        told = phone.event("wear", horse=cast.owners_horse, tags=["LNR44", "WNR33"], wet=True, place="Boiler room")
        assert phone.statuses(told) == ["done"]
        assert on(cast.owners_horse) == {"LNR44", "WNR33"}
        assert cast.worn.placings.get(until=None).place == "Boiler room"

    def test_a_hand_check(self, cast, phone):
        assert phone.statuses(phone.event("hand_check", horse=cast.owners_horse, felt="warm")) == ["done"]
        check = HandCheck.objects.get()
        assert (check.horse, check.felt, check.by, check.tags) == (cast.owners_horse, "warm", cast.staff, ["WRN22"])

    def test_damage_with_its_picture(self, cast, phone):
        picture = a_picture()
        once = uuid.uuid4()
        told = phone.event(
            "damage", once=once, blanket=cast.worn, horse=cast.owners_horse, part="strap", usable=False, note="Torn",
            picture=hashlib.sha256(picture).hexdigest(),
        )  # fmt: skip
        files = {f"picture-{once}": io.BytesIO(picture)}
        assert phone.statuses(told, files=files) == ["done"]
        job = CareJob.objects.get(blanket=cast.worn)
        assert (job.do_not_use, job.reported_by) == (True, cast.staff)
        assert Picture.objects.filter(blanket=cast.worn).count() == 1

    def test_a_picture_that_did_not_come_along_whole(self, cast, phone):
        once, right = uuid.uuid4(), a_picture()
        told = phone.event(
            "damage", once=once, blanket=cast.worn, part="strap", picture=hashlib.sha256(right).hexdigest()
        )
        assert phone.statuses(told) == ["refused"]
        assert phone.statuses(told, files={f"picture-{once}": io.BytesIO(right[:-5])}) == ["refused"]
        assert not CareJob.objects.filter(blanket=cast.worn).exists()
        assert phone.statuses(told, files={f"picture-{once}": io.BytesIO(right)}) == ["done"]

    def test_an_unreadable_picture_does_not_hold_back_the_report(self, cast, phone):
        once, wrong = uuid.uuid4(), b"no picture"
        told = phone.event(
            "damage", once=once, blanket=cast.worn, part="strap", picture=hashlib.sha256(wrong).hexdigest()
        )
        answer = phone.send(told, files={f"picture-{once}": io.BytesIO(wrong)})[0]
        assert (answer["status"], "Its picture could not be kept" in answer["said"]) == ("done", True)
        assert CareJob.objects.filter(blanket=cast.worn, part="strap").exists()
        assert not Picture.objects.filter(blanket=cast.worn).exists()

    def test_a_picture_too_large_for_the_house_stays_on_the_way_and_the_report_is_noted(self, cast, phone):
        told = phone.event("damage", blanket=cast.worn, part="strap", picture="0" * 64)
        (answer,) = phone.send({**told, "too_large": True})
        assert (answer["status"], "larger than the house takes in" in answer["said"]) == ("done", True)
        assert CareJob.objects.filter(blanket=cast.worn, part="strap").exists()

    def test_a_hand_check_is_answered_with_the_page_that_says_what_comes_of_it(self, cast, phone):
        (answer,) = phone.send(phone.event("hand_check", horse=cast.owners_horse, felt="sweating"))
        page = phone.client.get(answer["to"]).content.decode()
        assert "Never a filled or waterproof layer" in page


class TestOnce:
    def test_sent_five_times_it_happens_once(self, cast, phone, line):
        told = phone.event("done", line=line)
        answers = [phone.send(told)[0] for _time in range(5)]
        assert [(one["status"], one["again"]) for one in answers] == [("done", False)] + [("done", True)] * 4
        assert JournalEntry.objects.filter(action="line_done").count() == 1
        assert SentWrite.objects.count() == 1

    def test_other_content_under_the_same_number(self, cast, phone, line):
        once = uuid.uuid4()
        first = phone.event("not_done", line=line, once=once, why="No time")
        second = phone.event("not_done", line=line, once=once, why="Another reason")
        assert phone.send(first)[0]["code"] == 200
        (answer,) = phone.send(second)
        assert (answer["status"], answer["code"]) == ("refused", 422)
        line.refresh_from_db()
        assert line.why == "No time"

    def test_a_refused_one_does_not_use_its_number_up(self, cast, phone, line):
        once = uuid.uuid4()
        assert phone.statuses(phone.event("not_done", line=line, once=once, why="")) == ["refused"]
        assert phone.statuses(phone.event("not_done", line=line, once=once, why="No time")) == ["done"]

    def test_access_is_checked_before_a_repeat_is_answered(self, cast, line):
        phone = own_phone(cast.staff_owner)
        told = phone.event("done", line=line)
        assert phone.statuses(told) == ["done"]
        cast.staff_owner.is_staff = False
        cast.staff_owner.save(update_fields=["is_staff"])
        (answer,) = phone.send(told)
        assert (answer["status"], answer["code"]) == ("refused", 404)

    def test_enrolling_the_phone_in_between_makes_no_second_write(self, cast, phone, line):
        told = phone.event("done", line=line)
        phone.send(told)
        shared = shared_phone(cast.phone, cast.staff)
        assert shared.send(shared.sealed(told["body"]))[0]["again"] is True
        assert JournalEntry.objects.filter(action="line_done").count() == 1


class TestOrder:
    def test_a_refused_one_holds_back_only_its_horse_and_blankets(self, cast, phone, line):
        elsewhere = a_line(cast, cast.staff_owners_horse, [cast.staff_owners_blanket.tag])
        events = [
            phone.event("other", line=line, tags=["NOSUCH"], why="It was nearer"),
            phone.event("done", line=elsewhere),
            phone.event("hand_check", horse=cast.barn_horse, felt="cold"),
            phone.event("damage", blanket=cast.barn_blanket, part="seam", usable=True),
            phone.event("damage", blanket=cast.worn, part="seam", usable=True),
        ]
        assert phone.statuses(*events) == ["refused", "done", "held", "held", "done"]

    def test_a_clock_26_hours_off_is_put_right(self, cast, line):
        for fast in (timedelta(hours=26), timedelta(hours=-26)):
            phone = own_phone(cast.staff)
            phone.fast = fast
            told = phone.event("wear", horse=cast.barn_horse, tags=[], ago=600)
            ask = phone.event("hand_check", horse=cast.barn_horse, felt="warm", ago=600)
            assert phone.statuses(told, ask) == ["done", "done"]
            off = timezone.now() - HandCheck.objects.latest("pk").at
            assert timedelta(seconds=595) < off < timedelta(seconds=640)

    def test_nothing_is_done_in_the_future(self, cast, phone):
        told = phone.event("hand_check", horse=cast.barn_horse, felt="warm", ago=-7200)
        assert phone.statuses(told) == ["done"]
        assert HandCheck.objects.get().at <= timezone.now()

    def test_the_numbers_give_the_order_where_the_clock_was_set_in_between(self, cast, phone):
        """A clock set back by an hour between two taps, as somebody does by hand in the night the clocks change."""
        first = phone.event("wear", horse=cast.barn_horse, tags=[cast.barn_blanket.tag], ago=60)
        second = phone.event("wear", horse=cast.barn_horse, tags=[], ago=3600)
        assert phone.statuses(first, second) == ["done", "done"]
        worn = Wearing.objects.get(horse=cast.barn_horse)
        assert worn.off_at == worn.on_at
        assert on(cast.barn_horse) == set()

    def test_the_night_the_clocks_change(self, cast, phone):
        """1 November 2026, 01:30 comes twice in Alaska (IANA time zone database): the two keep their order."""
        first, second = (datetime(2026, 11, 1, hour, 30, tzinfo=UTC) for hour in (9, 10))
        assert {f"{timezone.localtime(one, cast.barn.zone):%H:%M}" for one in (first, second)} == {"01:30"}
        now = phone.now()
        phone.fast = first + timedelta(hours=2) - now
        told = [
            phone.event("wear", horse=cast.barn_horse, tags=[cast.barn_blanket.tag], ago=7200),
            phone.event("wear", horse=cast.barn_horse, tags=[], ago=3600),
        ]
        phone.fast = timedelta()
        late = [{"body": one["body"]} for one in told]
        assert phone.statuses(*late) == ["done", "done"]
        worn = Wearing.objects.get(horse=cast.barn_horse)
        assert timedelta(minutes=59) < worn.off_at - worn.on_at < timedelta(minutes=61)
        assert abs(worn.on_at - first) < timedelta(minutes=1)

    def test_a_clock_set_between_the_deed_and_the_call_puts_nothing_before_its_page(self, cast, phone):
        """A battery fell out: what was noted then says 1970, and the clock is right again when it is sent."""
        told = phone.event("hand_check", horse=cast.barn_horse, felt="warm", ago=56 * 365 * 86400, page_ago=600)
        late = phone.event("hand_check", horse=cast.owners_horse, felt="cool", ago=26 * 3600, page_ago=600)
        assert phone.statuses(told, late) == ["done", "done"]
        for check in HandCheck.objects.all():
            assert timedelta(seconds=590) < timezone.now() - check.at < timedelta(seconds=630)

    def test_numbers_are_kept_90_days_so_nothing_older_is_taken_in(self, cast, phone):
        """Else what was carried out and not heard of could be carried out again."""
        day = 86400
        old = phone.event("hand_check", horse=cast.barn_horse, felt="warm", ago=91 * day)
        newer = phone.event("hand_check", horse=cast.owners_horse, felt="warm", ago=89 * day)
        answers = phone.send(old, newer)
        assert [one["status"] for one in answers] == ["refused", "done"]
        assert "more than 90 days ago" in answers[0]["said"]

    def test_what_nobody_can_read_holds_back_what_follows_on_its_line(self, cast, phone, line):
        events = [
            phone.event("not_done", line=line, why=""),
            phone.event("take_back", line=line),
            phone.event("hand_check", horse=cast.owners_horse, felt="warm"),
        ]
        assert phone.statuses(*events) == ["refused", "held", "done"]

    def test_the_clock_is_noted_on_the_phone(self, cast):
        phone = shared_phone(cast.phone, cast.staff)
        phone.fast = timedelta(hours=-26)
        phone.send()
        cast.phone.refresh_from_db()
        assert 26 * 3600 - 5 < cast.phone.clock_off_s < 26 * 3600 + 5


class TestWhoSends:
    def test_a_persons_queue_is_never_sent_as_anothers(self, cast, phone, line):
        theirs = phone.event("done", line=line, by=cast.manager)
        (answer,) = phone.send(theirs)
        assert (answer["status"], answer["code"]) == ("refused", 403)
        line.refresh_from_db()
        assert line.outcome == ""

    def test_a_shared_phone_sends_for_whoever_sealed_it_and_the_journal_says_both(self, cast, line):
        phone = shared_phone(cast.phone, cast.staff)
        assert phone.statuses(phone.event("done", line=line)) == ["done"]
        entry = JournalEntry.objects.get(action="line_done")
        assert (entry.person_key, entry.device_key) == (cast.staff.key, cast.phone.key)

    def test_what_is_sealed_by_somebody_else_is_refused(self, cast, line):
        phone = shared_phone(cast.phone, cast.staff)
        forged = phone.event("done", line=line, by=cast.manager)
        assert phone.send(forged)[0]["code"] == 403
        unsealed = {"body": phone.event("done", line=line)["body"]}
        assert phone.send(unsealed)[0]["code"] == 403
        other = Phone(cast.staff, phone.client, cast.other.device)
        assert phone.send(other.event("done", line=line))[0]["code"] == 403

    def test_somebody_elses_session_on_the_same_phone_sends_what_the_first_sealed(self, cast, line):
        phone = shared_phone(cast.phone, cast.staff)
        phone.client.force_login(cast.staff_owner.user)
        assert phone.statuses(phone.event("done", line=line)) == ["done"]
        assert JournalEntry.objects.get(action="line_done").person_key == cast.staff.key

    def test_by_a_seal_a_manager_may_no_more_than_staff(self, cast):
        phone = shared_phone(cast.phone, cast.manager)
        line = a_line(cast, cast.barn_horse, [cast.barn_blanket.tag])
        ListLine.objects.filter(pk=line.pk).update(decided_by="vet")
        assert phone.statuses(phone.event("other", line=line, tags=[], why="Warm")) == ["question"]

    def test_by_a_seal_an_owner_may_nothing_and_staff_no_longer_than_they_are(self, cast, line):
        """A seal is worth what a PIN is: who comes in by it works as staff, if they are."""
        phone = shared_phone(cast.phone, cast.owner)
        events = [phone.event("wear", horse=horse, tags=[]) for horse in (cast.other_horse, cast.owners_horse)]
        assert [one["code"] for one in phone.send(*events, phone.event("done", line=line))] == [404] * 3
        was = shared_phone(cast.phone, cast.staff_owner)
        check = was.event("hand_check", horse=cast.other_horse, felt="warm")
        assert was.statuses(check) == ["done"]
        Person.objects.filter(pk=cast.staff_owner.pk).update(is_staff=False)
        check = was.event("hand_check", horse=cast.other_horse, felt="warm")
        assert (was.send(check)[0]["code"], HandCheck.objects.count()) == (403, 1)
        assert on(cast.owners_horse) == {cast.worn.tag}

    def test_the_session_of_a_pin_without_its_phone_sends_nothing_in_another_barn(self, cast):
        devices.set_pin(cast.staff, pin="2580", actor=Actor(cast.staff))
        there = make.PersonFactory(barn=cast.other.barn, user=cast.staff.user, name="Both", is_manager=True)
        phone = shared_phone(cast.phone, cast.staff)
        answer = phone.client.post("/this-phone/", {"who": str(cast.staff.key), "pin": "2580"})
        assert answer.status_code == 302
        del phone.client.cookies[COOKIE]
        told = Phone(there, phone.client).event("wear", horse=cast.other.horse, tags=[])
        assert phone.post(told, slug="next-door").status_code == 401
        assert on(cast.other.horse) == {cast.other.blanket.tag}

    def test_nobody_signed_in_on_a_phone_of_nobodys(self, cast, line):
        assert Phone(cast.staff).post(Phone(cast.staff).event("done", line=line)).status_code == 401

    def test_a_form_from_elsewhere_is_no_phone_of_ours(self, cast, line):
        client = Client(enforce_csrf_checks=True)
        client.force_login(cast.staff.user)
        phone = Phone(cast.staff, client)
        assert phone.post(phone.event("done", line=line)).status_code == 403
        token = client.get("/token/").json()["token"]
        client.defaults["HTTP_X_CSRFTOKEN"] = token
        assert phone.statuses(phone.event("done", line=line)) == ["done"]

    def test_owners_work_no_list_and_dress_their_own_horse(self, cast, line):
        phone = own_phone(cast.owner)
        answers = phone.send(
            phone.event("done", line=line),
            phone.event("wear", horse=cast.barn_horse, tags=[]),
            phone.event("wear", horse=cast.owners_horse, tags=[]),
        )
        assert [one["code"] for one in answers] == [404, 404, 200]
        own = a_line(cast, cast.owners_horse, [])
        assert phone.send(phone.event("done", line=own))[0]["code"] == 403


class TestOtherBarns:
    def test_nothing_of_another_barn_is_reached(self, cast, phone):
        answers = phone.send(
            phone.event("wear", horse=cast.other.horse, tags=[]),
            phone.event("damage", blanket=cast.other.blanket, part="seam"),
            phone.event("wear", horse=cast.barn_horse, tags=[cast.other.blanket.tag]),
        )
        assert [(one["status"], one["code"]) for one in answers] == [
            ("refused", 404), ("refused", 404), ("refused", 200),
        ]  # fmt: skip

    def test_a_stranger_sends_nothing(self, cast, line):
        phone = own_phone(cast.stranger)
        assert phone.post(phone.event("done", line=line)).status_code == 404


class TestBadBatches:
    @pytest.mark.parametrize(
        "body",
        ["", "[]", "null", "{}", "not json", '{"kind": "fly"}', '{"kind": "done", "once": "x"}', 7, None, "9" * 5000],
    )
    def test_what_no_phone_of_ours_sends(self, phone, body):
        assert [one["code"] for one in phone.send({"body": body})] == [400]

    @pytest.mark.parametrize(
        "batch", ["", "[]", "{}", '{"events": 3}', '{"events": [3]}', '{"events": "x"}', "[" * 9000]
    )
    def test_batches_that_are_none(self, phone, batch):
        assert phone.client.post("/barns/home/send/", batch, content_type="application/json").status_code == 400

    def test_too_many_at_once(self, phone, cast):
        assert phone.post(*[phone.event("hand_check", horse=cast.worn, felt="warm")] * 51).status_code == 400

    @pytest.mark.parametrize("there_at", [1e300, -1e300, "never", None, float("nan")])
    def test_times_that_are_none(self, phone, cast, there_at):
        told = json.loads(phone.event("hand_check", horse=cast.barn_horse, felt="warm")["body"])
        (answer,) = phone.send({"body": json.dumps({**told, "there_at": there_at})})
        assert answer["status"] in {"done", "refused"}


class TestOneBadEvent:
    """Is answered itself, in a sentence; what came with it is done."""

    def sent_with(self, phone, cast, bad):
        good = phone.event("hand_check", horse=cast.barn_horse, felt="warm")
        answer, other = phone.send(bad, good)
        assert (answer["status"], other["status"]) == ("refused", "done")
        assert answer["said"]
        return answer

    def test_five_layers(self, cast, phone, line):
        tags = [make.BlanketFactory(barn=cast.barn).tag for _number in range(5)]
        for told in (
            phone.event("wear", horse=cast.owners_horse, tags=tags),
            phone.event("other", line=line, tags=tags, why="Cold"),
        ):
            assert "at most 4 layers" in self.sent_with(phone, cast, told)["said"]
        assert on(cast.owners_horse) == {cast.worn.tag}

    @pytest.mark.parametrize(
        ("kind", "fields"),
        [
            ("wear", {"tags": [1, None]}),
            ("wear", {"tags": [["WNR33"]]}),
            ("wear", {"tags": {"WNR33": 1}}),
            ("wear", {"why": {"a": []}, "tags": []}),
            ("wear", {"why": "Torn \ud83d", "tags": []}),
            ("wear", {"tags": ["\ud83d"]}),
            ("wear", {"place": "\udc00", "tags": []}),
            ("hand_check", {"felt": "warm", "note": "\ud800"}),
        ],
    )
    def test_fields_that_are_none(self, cast, phone, kind, fields):
        assert self.sent_with(phone, cast, phone.event(kind, horse=cast.owners_horse, **fields))["code"] == 400
        assert on(cast.owners_horse) == {cast.worn.tag}

    def test_the_number_of_half_a_sign_is_answered(self, cast, phone):
        told = phone.event("hand_check", horse=cast.owners_horse, felt="warm", note="\ud83d")
        answer = self.sent_with(phone, cast, told)
        assert answer["once"] == json.loads(told["body"])["once"]
        assert "half a sign" in answer["said"]
        self.sent_with(phone, cast, {"body": json.dumps(json.loads(told["body"]), ensure_ascii=False)})

    @pytest.mark.parametrize("body", ["[" * 3900, '{"a":' * 700, '{"fields":' + "[" * 1900 + "]" * 1900 + "}"])
    def test_deeply_nested(self, cast, phone, body):
        assert self.sent_with(phone, cast, {"body": body})["code"] == 400

    @pytest.mark.parametrize("seal", ["sëal", "\ud800", ["x"], {"x": 1}, None, 7])
    def test_seals_that_are_none(self, cast, seal):
        phone = shared_phone(cast.phone, cast.staff)
        told = phone.event("hand_check", horse=cast.barn_horse, felt="warm")
        assert self.sent_with(phone, cast, {**told, "seal": seal})["code"] == 403

    @pytest.mark.parametrize("off", [1e15, -1e15, 1e300, float("inf"), float("nan"), "x", []])
    def test_a_clock_off_by_more_than_there_are_years(self, cast, phone, off):
        told = phone.event("hand_check", horse=cast.barn_horse, felt="warm", page_ago=60)
        batch = {"clock_off_ms": off, "events": [told]}
        answer = phone.client.post("/barns/home/send/", json.dumps(batch), content_type="application/json")
        assert [one["status"] for one in answer.json()["answers"]] == ["done"]

    def test_what_nobody_foresaw_is_written_to_the_log_and_holds_back_its_horse_only(self, cast, phone, caplog):
        bad = phone.event("wear", horse=cast.owners_horse, tags=[])
        held = phone.event("hand_check", horse=cast.owners_horse, felt="warm")
        good = phone.event("hand_check", horse=cast.barn_horse, felt="warm")
        fault = IntegrityError("A constraint that nobody thought of")
        with connection.execute_wrapper(failing(fault, 'UPDATE "inventory_wearing"')):
            answers = phone.send(bad, held, good)
        assert [(one["status"], one["code"]) for one in answers] == [("refused", 500), ("held", 200), ("done", 200)]
        assert answers[0]["once"] == json.loads(bad["body"])["once"]
        assert "A constraint that nobody thought of" in caplog.text
        assert phone.statuses(bad, held) == ["done", "done"]

    @pytest.mark.parametrize(("fault", "status"), [(OperationalError, "later"), (IntegrityError, "refused")])
    def test_a_database_that_fails_before_it_is_read_who_did_it_holds_back_what_follows(self, cast, fault, status):
        phone = shared_phone(cast.phone, cast.staff)
        first = phone.event("wear", horse=cast.owners_horse, tags=[])
        second = phone.event("hand_check", horse=cast.owners_horse, felt="warm")
        other = phone.event("hand_check", horse=cast.barn_horse, felt="warm")
        with connection.execute_wrapper(failing(fault("Not now"), 'FROM "barns_person"', str(cast.staff.key))):
            assert phone.statuses(first, second, other) == [status, "held", "done"]

    def test_a_row_that_cannot_be_shown_keeps_no_answer_back(self, cast, phone, line, caplog):
        batch = {"rows": True, "events": [phone.event("done", line=line)]}
        fault = OperationalError("No row today")
        with connection.execute_wrapper(failing(fault, "COUNT(", 'FROM "inventory_changelist"')):
            answer = phone.client.post("/barns/home/send/", json.dumps(batch), content_type="application/json")
        assert [(one["status"], "row" in one) for one in answer.json()["answers"]] == [("done", False)]
        assert "No row today" in caplog.text


class TestContradictions:
    """Nothing that others noted is overwritten; both are kept; the manager is asked."""

    def test_the_blanket_is_meanwhile_elsewhere(self, cast, phone, line):
        wearing.put_on(cast.barn_blanket, horse=cast.staff_owners_horse, actor=Actor(cast.manager))
        (answer,) = phone.send(phone.event("done", line=line, ago=-1))
        assert answer["status"] == "question"
        assert "Manager" in answer["said"]
        assert on(cast.staff_owners_horse) == {cast.barn_blanket.tag}
        question = Question.objects.get()
        assert (question.kind, question.person, question.horse, question.tags) == (
            QuestionKind.CONTRADICTS, cast.staff, cast.barn_horse, [cast.barn_blanket.tag],
        )  # fmt: skip
        entry = JournalEntry.objects.get(action="change_contradicted")
        assert entry.person_key == cast.staff.key

    def test_two_who_noted_the_same_do_not_contradict(self, cast, phone, line):
        lists.mark_done(line, actor=Actor(cast.manager))
        (answer,) = phone.send(phone.event("done", line=line, ago=60))
        assert (answer["status"], "Manager" in answer["said"]) == ("done", True)
        assert JournalEntry.objects.get(action="line_noted_alike").person_key == cast.staff.key
        line.refresh_from_db()
        assert line.done_by == cast.manager

    def test_two_who_noted_different_things(self, cast, phone, line):
        lists.mark_not_done(line, why="No time", actor=Actor(cast.manager))
        assert phone.statuses(phone.event("done", line=line, ago=60)) == ["question"]
        line.refresh_from_db()
        assert (line.outcome, line.done_by) == (LineOutcome.NOT_DONE, cast.manager)

    def test_a_question_is_asked_once(self, cast, phone, line):
        lists.mark_not_done(line, why="No time", actor=Actor(cast.manager))
        told = phone.event("done", line=line)
        assert [phone.statuses(told) for _time in range(3)] == [["question"]] * 3
        assert Question.objects.count() == 1

    def test_a_question_holds_nothing_back(self, cast, phone, line):
        lists.mark_not_done(line, why="No time", actor=Actor(cast.manager))
        check = phone.event("hand_check", horse=cast.barn_horse, felt="warm")
        assert phone.statuses(phone.event("done", line=line), check) == ["question", "done"]

    def test_late_entries_that_overlap_in_the_past_are_both_kept_and_flagged(self, cast, phone):
        now = timezone.now()
        make.WearingFactory(
            blanket=cast.barn_blanket, horse=cast.staff_owners_horse, on_by=cast.manager, off_by=cast.manager,
            on_at=now - timedelta(hours=3), off_at=now - timedelta(hours=1),
        )  # fmt: skip
        told = phone.event("wear", horse=cast.barn_horse, tags=[cast.barn_blanket.tag], ago=2 * 3600)
        assert phone.statuses(told) == ["question"]
        assert on(cast.barn_horse) == {cast.barn_blanket.tag}
        assert set(Wearing.objects.filter(blanket=cast.barn_blanket).values_list("overlaps", flat=True)) == {True}
        assert Question.objects.get().kind == QuestionKind.OVERLAPS

    def test_something_newer_on_the_horse_is_not_undone_by_something_older(self, cast, phone):
        wearing.change(cast.barn_horse, to=[cast.barn_blanket], actor=Actor(cast.manager))
        other = make.BlanketFactory(barn=cast.barn, tag="SPR99")
        assert phone.statuses(phone.event("wear", horse=cast.barn_horse, tags=[other.tag], ago=3600)) == ["question"]
        assert on(cast.barn_horse) == {cast.barn_blanket.tag}

    def test_what_a_later_list_found_bare_is_not_dressed_by_an_older_done(self, cast, phone, line):
        """The midday list had nothing to change, so that no wearing tells of it."""
        midday = noted(cast, cast.barn_horse, [], hours=3)
        (answer,) = phone.send(phone.event("done", line=line, ago=8 * 3600))
        assert (answer["status"], "Manager noted later" in answer["said"]) == ("question", True)
        assert on(cast.barn_horse) == set()
        question = Question.objects.get()
        assert (question.kind, question.tags, question.person) == ("contradicts", [cast.barn_blanket.tag], cast.staff)
        line.refresh_from_db()
        assert (line.outcome, midday.outcome) == ("", "done")

    @pytest.mark.parametrize("kind", ["done", "other", "wear"])
    def test_what_a_later_list_kept_on_is_not_taken_off_by_something_older(self, cast, phone, kind):
        worn = make.WearingFactory(barn=cast.barn, horse=cast.barn_horse, blanket=cast.barn_blanket, on_by=cast.staff)
        Wearing.objects.filter(pk=worn.pk).update(on_at=timezone.now() - timedelta(days=1))
        midday = a_line(cast, cast.barn_horse, [], [cast.barn_blanket.tag])
        noted(cast, cast.barn_horse, [cast.barn_blanket.tag], hours=1)
        about = {"horse": cast.barn_horse} if kind == "wear" else {"line": midday}
        told = phone.event(kind, **about, ago=5 * 3600, tags=[], why="It was warm")
        assert phone.statuses(told) == ["question"]
        assert on(cast.barn_horse) == {cast.barn_blanket.tag}

    def test_the_last_that_was_noted_later_counts(self, cast, phone, line):
        """Off in between and on again since: what is worn now is what the older one says, so nothing is undone."""
        noted(cast, cast.barn_horse, [], hours=5)
        noted(cast, cast.barn_horse, [cast.barn_blanket.tag], hours=1)
        assert phone.statuses(phone.event("done", line=line, ago=8 * 3600)) == ["done"]
        assert on(cast.barn_horse) == {cast.barn_blanket.tag}

    def test_what_was_left_undone_later_says_nothing_of_what_is_worn(self, cast, phone, line):
        later = list_of(cast, hours=3, horse=cast.barn_horse, to=[])
        lists.mark_not_done(later, why="No time", actor=at(cast.manager, hours=3))
        assert phone.statuses(phone.event("done", line=line, ago=8 * 3600)) == ["done"]
        assert on(cast.barn_horse) == {cast.barn_blanket.tag}

    def test_a_line_of_another_horse_or_an_earlier_one_contradicts_nothing(self, cast, phone, line):
        noted(cast, cast.barn_horse, [], hours=9)
        noted(cast, cast.staff_owners_horse, [], hours=1)
        assert phone.statuses(phone.event("done", line=line, ago=8 * 3600)) == ["done"]

    def test_nobodys_later_tap_comes_before_their_earlier_one_for_a_clock(self, cast, phone, line):
        noted(cast, cast.barn_horse, [], hours=0, by=cast.staff)
        assert phone.statuses(phone.event("done", line=line, ago=5)) == ["done"]

    def test_what_a_later_list_kept_on_is_not_taken_off_by_an_older_taking_back(self, cast, phone, line):
        assert phone.statuses(phone.event("done", line=line, ago=6 * 3600)) == ["done"]
        noted(cast, cast.barn_horse, [cast.barn_blanket.tag], hours=1)
        (answer,) = phone.send(phone.event("take_back", line=line, ago=5 * 3600))
        assert (answer["status"], "Manager noted later" in answer["said"]) == ("refused", True)
        assert on(cast.barn_horse) == {cast.barn_blanket.tag}

    def test_the_same_blanket_with_its_neck_and_without_is_not_the_same(self, cast, phone):
        necked = make.BlanketFactory(barn=cast.barn, tag="NCK11", neck="removable")
        line = a_line(cast, cast.barn_horse, [necked.tag])
        lists.mark_done(line, actor=at(cast.manager, hours=1))
        with_neck = phone.event("done", line=line, ago=1800, tags=[necked.tag], neck=True)
        without = phone.event("done", line=line, ago=1800, tags=[necked.tag], neck=False)
        assert phone.statuses(with_neck, without) == ["question", "done"]
        assert not Wearing.objects.get(horse=cast.barn_horse).neck_on

    def test_take_back_of_what_was_changed_since_is_refused(self, cast, phone, line):
        phone.send(phone.event("done", line=line, ago=60))
        wearing.change(cast.barn_horse, to=[], actor=Actor(cast.manager))
        (answer,) = phone.send(phone.event("take_back", line=line))
        assert answer["status"] == "refused"
        assert not Question.objects.exists()


class TestLeaversAndRevokedPhones:
    def test_a_leavers_queue_is_kept_and_not_applied(self, cast, line):
        phone = own_phone(cast.leaver)
        answer = phone.post(phone.event("done", line=line)).json()
        assert (answer["clear"], [one["status"] for one in answer["answers"]]) == (True, ["kept"])
        line.refresh_from_db()
        assert line.outcome == ""
        question = Question.objects.get()
        assert (question.kind, question.person, question.horse) == (QuestionKind.LEFT, cast.leaver, cast.barn_horse)

    def test_who_left_is_named_on_a_shared_phone_that_stays(self, cast, line):
        phone = shared_phone(cast.phone, cast.leaver)
        answer = phone.post(phone.event("done", line=line)).json()
        assert (answer["clear"], answer["gone"]) == (False, [str(cast.leaver.key)])
        assert Question.objects.get().kind == QuestionKind.LEFT

    def test_who_left_while_signed_in_on_a_shared_phone_clears_it_for_nobody_else(self, cast, line):
        phone = shared_phone(cast.phone, cast.leaver)
        phone.client.force_login(cast.leaver.user)
        answer = phone.post(phone.event("done", line=line)).json()
        assert (answer["clear"], answer["gone"]) == (False, [str(cast.leaver.key)])

    def test_a_revoked_phones_queue_is_kept_and_not_applied_and_the_phone_is_told(self, cast, line):
        phone = shared_phone(cast.phone, cast.staff)
        told = phone.event("done", line=line)
        devices.revoke(cast.phone, actor=Actor(cast.manager))
        for _time in range(3):
            answer = phone.post(told).json()
            assert (answer["clear"], [one["status"] for one in answer["answers"]]) == (True, ["kept"])
        assert Question.objects.get().kind == QuestionKind.REVOKED
        line.refresh_from_db()
        assert line.outcome == ""

    def test_whoever_is_signed_in_on_a_revoked_phone_is_kept_too(self, cast, line):
        phone = shared_phone(cast.phone, cast.staff)
        phone.client.force_login(cast.staff.user)
        devices.revoke(cast.phone, actor=Actor(cast.manager))
        assert phone.statuses(phone.event("done", line=line)) == ["kept"]

    def test_a_leaver_reads_no_page(self, cast):
        phone = own_phone(cast.leaver)
        assert phone.client.get("/barns/home/horses/").status_code == 404


def test_a_batch_of_ten_does_not_cost_more_than_ten_of_one(cast, phone, django_assert_max_num_queries):
    blankets = [make.BlanketFactory(barn=cast.barn) for _number in range(10)]
    with django_assert_max_num_queries(10 * 47):
        told = [phone.event("wear", horse=make_horse(cast), tags=[one.tag]) for one in blankets]
        assert phone.statuses(*told) == ["done"] * 10


def make_horse(cast):
    return make.HorseFactory(barn=cast.barn)


def test_blankets_stay_where_they_are_put(cast, phone):
    """Two taps on one blanket from one phone: the second horse wears it once it came off the first."""
    tag, spare = cast.barn_blanket.tag, make_horse(cast)
    events = [
        phone.event("wear", horse=cast.barn_horse, tags=[tag], ago=30),
        phone.event("wear", horse=cast.barn_horse, tags=[], ago=20),
        phone.event("wear", horse=spare, tags=[tag], ago=10),
    ]
    assert phone.statuses(*events) == ["done"] * 3
    assert (on(spare), on(cast.barn_horse)) == ({tag}, set())
    assert Blanket.objects.get(tag=tag).wearings.filter(off_at=None).count() == 1
