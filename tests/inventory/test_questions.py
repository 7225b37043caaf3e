"""Questions to the manager: two buttons, and what each of them makes of the records."""

import hashlib
import io
from datetime import timedelta

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry
from inventory.domain import lists, wearing
from inventory.domain.care import clock
from inventory.models import CareJob, ChangeList, Picture, Question, Wearing
from tests import factories as make
from tests.inventory.test_sending import a_line, a_picture, noted, on
from tests.phones import own_phone
from tests.writes import Write, six_tests

pytestmark = pytest.mark.django_db


def asked(cast):
    return (
        Question.objects.first()
        or make.QuestionFactory(barn=cast.barn, person=cast.staff, horse=cast.barn_horse, kind="overlaps")
    ).pk


TestWrites = six_tests(
    [
        Write("question_answer", f"late_change_{answer}", parts={"pk": asked}, data={"answer": answer}, others=404)
        for answer in ("accepted", "dropped")
    ]
)


@pytest.fixture
def line(cast):
    return a_line(cast, cast.barn_horse, [cast.barn_blanket.tag])


@pytest.fixture
def phone(cast):
    return own_phone(cast.staff)


@pytest.fixture
def answered(cast, sign_in):
    """Sends an answer to the one question as the manager does."""
    client = sign_in(cast.manager)

    def answer(word):
        page = client.get(reverse("questions", args=["home"]))
        (asked,) = page.context["waiting"]
        once = asked.form["once"].value()
        return client.post(
            reverse("question_answer", args=["home", asked.question.pk]), {"answer": word, "once": str(once)}
        )

    return answer


def test_a_bad_answer_says_why(cast, sign_in):
    client = sign_in(cast.manager)
    answer = client.post(reverse("question_answer", args=["home", asked(cast)]), {"answer": "perhaps", "once": ""})
    assert answer.status_code == 400
    assert Question.objects.get().answer == ""


def test_three_more_questions_cost_no_more_queries(cast, sign_in, django_assert_num_queries):
    client, page = sign_in(cast.manager), reverse("questions", args=["home"])
    asked(cast)
    make.QuestionFactory(barn=cast.other.barn, sentence="Nobody here may read this.")
    client.get(page)
    for _run in range(2):
        with django_assert_num_queries(7):
            answer = client.get(page)
        assert "Nobody here may read this" not in answer.content.decode()
        make.QuestionFactory.create_batch(3, barn=cast.barn, person=cast.staff, horse=cast.barn_horse)


class TestWhatEachAnswerMoves:
    """Said before the answer and, in the same words, after it."""

    @pytest.fixture
    def said(self, cast, sign_in, answered):
        def both(word):
            client = sign_in(cast.manager)
            (asked,) = client.get(reverse("questions", args=["home"])).context["waiting"]
            before = asked.accept_moves if word == "accepted" else asked.drop_moves
            (message,) = [str(one) for one in get_messages(answered(word).wsgi_request)]
            assert message == f"Answered. {before}"
            return before

        return both

    def test_what_was_found_later_wins_so_nothing_moves(self, cast, phone, line, said):
        wearing.put_on(cast.barn_blanket, horse=cast.staff_owners_horse, actor=Actor(cast.manager))
        phone.send(phone.event("done", line=line, ago=3600))
        worn = on(cast.staff_owners_horse), on(cast.barn_horse)
        with timezone.override(cast.barn.zone):
            at = clock(Wearing.objects.get(blanket=cast.barn_blanket, off_at=None).on_at)
        tag, horse = cast.barn_blanket.tag, cast.staff_owners_horse
        assert said("accepted") == (
            f"Nothing moves: {tag} was put on {horse} later, at {at}. It is only noted that it was so before."
        )
        assert (on(cast.staff_owners_horse), on(cast.barn_horse)) == worn

    @pytest.mark.parametrize("answer", ["accepted", "dropped"])
    def test_a_later_line_that_changed_nothing_wins_too(self, cast, phone, line, said, answer):
        later, tag, horse = noted(cast, cast.barn_horse, [], hours=3), cast.barn_blanket.tag, cast.barn_horse
        phone.send(phone.event("done", line=line, ago=8 * 3600))
        with timezone.override(cast.barn.zone):
            when = clock(later.done_at)
        sentences = {
            "accepted": f"Nothing moves: Manager noted later, at {when}, what {horse} wore: nothing. "
            "It is only noted that it was so before.",
            "dropped": "Nothing moves: what was noted late is set aside.",
        }
        assert said(answer) == sentences[answer]
        assert on(horse) == set()
        past = Wearing.objects.filter(horse=horse, blanket__tag=tag).values_list("off_at", "off_by", "overlaps")
        assert list(past) == ([(later.done_at, cast.manager.pk, True)] if answer == "accepted" else [])

    def test_it_comes_from_the_other_horse(self, cast, phone, line, said):
        earlier = Actor(cast.manager, now=timezone.now() - timedelta(hours=1))
        wearing.put_on(cast.barn_blanket, horse=cast.staff_owners_horse, actor=earlier)
        phone.send(phone.event("done", line=line, ago=1800))
        tag, horse, other = cast.barn_blanket.tag, cast.barn_horse, cast.staff_owners_horse
        assert said("accepted") == f"Moves: {tag} from {other} to {horse}."
        assert (on(horse), on(other)) == ({tag}, set())

    def test_set_aside_nothing_moves(self, cast, phone, line, said):
        wearing.put_on(cast.barn_blanket, horse=cast.staff_owners_horse, actor=Actor(cast.manager))
        phone.send(phone.event("done", line=line))
        assert said("dropped") == "Nothing moves: what was noted late is set aside."
        assert on(cast.staff_owners_horse) == {cast.barn_blanket.tag}

    @pytest.mark.parametrize("answer", ["accepted", "dropped"])
    def test_of_two_that_overlap_only_the_late_one_comes_off(self, cast, phone, said, answer):
        now = timezone.now()
        make.WearingFactory(
            blanket=cast.barn_blanket, horse=cast.staff_owners_horse, on_by=cast.manager, off_by=cast.manager,
            on_at=now - timedelta(hours=3), off_at=now - timedelta(hours=1),
        )  # fmt: skip
        tag, horse = cast.barn_blanket.tag, cast.barn_horse
        phone.send(phone.event("wear", horse=horse, tags=[tag], ago=2 * 3600))
        sentences = {"accepted": "Nothing moves: both stay noted.", "dropped": f"Moves: {tag} off {horse}."}
        assert said(answer) == sentences[answer]
        assert on(horse) == ({tag} if answer == "accepted" else set())


class TestItHappenedAsNoted:
    def test_the_blanket_is_on_this_horse_after_all(self, cast, phone, line, answered):
        wearing.put_on(
            cast.barn_blanket,
            horse=cast.staff_owners_horse,
            actor=Actor(cast.manager, now=timezone.now() - timedelta(hours=1)),
        )
        assert phone.statuses(phone.event("done", line=line, ago=1800)) == ["question"]
        assert answered("accepted").status_code == 302
        assert (on(cast.barn_horse), on(cast.staff_owners_horse)) == ({cast.barn_blanket.tag}, set())
        line.refresh_from_db()
        assert (line.outcome, line.done_by) == ("done", cast.staff)
        assert JournalEntry.objects.get(action="late_change_accepted").person_key == cast.manager.key

    def test_what_happened_before_something_later_stays_in_the_past_flagged(self, cast, phone, line, answered):
        wearing.put_on(cast.barn_blanket, horse=cast.staff_owners_horse, actor=Actor(cast.manager))
        assert phone.statuses(phone.event("done", line=line, ago=3600)) == ["question"]
        answered("accepted")
        assert on(cast.staff_owners_horse) == {cast.barn_blanket.tag}
        past = Wearing.objects.get(horse=cast.barn_horse)
        now_on = Wearing.objects.get(horse=cast.staff_owners_horse, off_at=None)
        assert (past.on_by, past.off_at, past.overlaps) == (cast.staff, now_on.on_at, True)
        entry = JournalEntry.objects.get(action="past_wearing_noted")
        assert {(one.kind, one.subject_id) for one in entry.subjects.all()} == {
            ("horse", past.horse_id),
            ("blanket", past.blanket_id),
        }
        line.refresh_from_db()
        assert (line.outcome, line.done_at) == ("done", past.on_at)

    def test_a_line_that_was_noted_otherwise(self, cast, phone, line, answered):
        lists.mark_not_done(line, why="No time", actor=Actor(cast.manager))
        phone.send(phone.event("done", line=line))
        answered("accepted")
        line.refresh_from_db()
        assert (line.outcome, line.done_by, on(cast.barn_horse)) == ("done", cast.staff, {cast.barn_blanket.tag})
        entry = JournalEntry.objects.get(action="line_done")
        assert entry.before["outcome"] == "not_done"

    def test_a_leavers_damage_with_its_picture(self, cast, answered, sign_in):
        phone, picture = own_phone(cast.leaver), a_picture()
        told = phone.event("damage", blanket=cast.worn, part="strap", picture=hashlib.sha256(picture).hexdigest())
        once = told["body"].split('"once": "')[1][:36]
        assert phone.statuses(told, files={f"picture-{once}": io.BytesIO(picture)}) == ["kept"]
        question = Question.objects.get()
        shown = sign_in(cast.manager).get(reverse("question_picture", args=["home", question.pk]))
        assert shown.headers["Content-Type"] == "image/jpeg"
        assert not CareJob.objects.filter(blanket=cast.worn).exists()
        answered("accepted")
        assert CareJob.objects.get(blanket=cast.worn).reported_by == cast.leaver
        assert Picture.objects.filter(blanket=cast.worn).count() == 1

    def test_what_cannot_be_is_said_and_stays_asked(self, cast, phone, line, answered):
        make.CareJobFactory(blanket=cast.barn_blanket, step="away", reported_by=cast.staff)
        assert phone.statuses(phone.event("done", line=line)) == ["question"]
        answer = answered("accepted")
        assert answer.status_code == 400
        assert "cleaner or repairer" in answer.content.decode()
        assert Question.objects.get().answer == ""


class TestItStaysAsItStands:
    def test_nothing_changes(self, cast, phone, line, answered):
        wearing.put_on(cast.barn_blanket, horse=cast.staff_owners_horse, actor=Actor(cast.manager))
        phone.send(phone.event("done", line=line))
        before = list(Wearing.objects.values())
        answered("dropped")
        assert list(Wearing.objects.values()) == before
        line.refresh_from_db()
        assert line.outcome == ""
        question = Question.objects.get()
        assert (question.answer, question.answered_by) == ("dropped", cast.manager)

    def test_of_two_that_overlap_the_late_one_comes_off(self, cast, phone, answered):
        now = timezone.now()
        make.WearingFactory(
            blanket=cast.barn_blanket, horse=cast.staff_owners_horse, on_by=cast.manager, off_by=cast.manager,
            on_at=now - timedelta(hours=3), off_at=now - timedelta(hours=1),
        )  # fmt: skip
        phone.send(phone.event("wear", horse=cast.barn_horse, tags=[cast.barn_blanket.tag], ago=2 * 3600))
        answered("dropped")
        assert on(cast.barn_horse) == set()


def test_answered_twice_the_second_is_told_by_whom(cast, sign_in, phone, line):
    lists.mark_not_done(line, why="No time", actor=Actor(cast.manager))
    phone.send(phone.event("done", line=line))
    second = make.PersonFactory(barn=cast.barn, name="Second", is_manager=True)
    pk = Question.objects.get().pk
    address = reverse("question_answer", args=["home", pk])
    numbers = ("00000000-0000-4000-8000-000000000001", "00000000-0000-4000-8000-000000000002")
    first = sign_in(cast.manager).post(address, {"answer": "dropped", "once": numbers[0]})
    late = sign_in(second).post(address, {"answer": "accepted", "once": numbers[1]})
    assert (first.status_code, late.status_code) == (302, 400)
    assert "Manager answered this" in late.content.decode()
    line.refresh_from_db()
    assert line.outcome == "not_done"
    assert ChangeList.objects.count() == 1
