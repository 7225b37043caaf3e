"""A mis-tap off the lists is taken back: the horse wears what it wore, each blanket hangs where it hung, no fee."""

import uuid
from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry
from inventory.domain import last_change, lists, wearing
from inventory.models import Placing, Wearing
from inventory.queries import money, wearings
from tests import factories as make
from tests.inventory.lists import line_of
from tests.inventory.sending import records

pytestmark = pytest.mark.django_db


def ago(person, minutes=0):
    return Actor(person, now=timezone.now() - timedelta(minutes=minutes))


def url(horse):
    return reverse("last_change", args=["home", horse.pk])


def sent(horse, **more):
    last = last_change.of(horse, timezone.now())
    return {"once": str(uuid.uuid4()), "at": last.at.isoformat() if last else "", **more}


def on(horse):
    return [one.blanket.tag for one in wearings.open_on(horse)]


@pytest.fixture
def put_on(cast):
    """Bramble wore WRN22; ten minutes ago somebody put the barn's BRN88 on instead, by mistake."""
    Placing.objects.filter(blanket=cast.barn_blanket).delete()
    make.PlacingFactory(blanket=cast.barn_blanket, kind="rack", place="Far aisle, hook 3")
    wearing.change(cast.owners_horse, to=[cast.barn_blanket], actor=ago(cast.staff, 10))
    assert on(cast.owners_horse) == ["BRN88"]


def test_a_swap_is_taken_back_as_if_it_had_not_been(cast, sign_in, put_on):
    since = cast.wearing.since
    client = sign_in(cast.staff)
    page = client.get(url(cast.owners_horse)).content.decode()
    assert "Staff took WRN22 off and put BRN88 on" in page
    assert client.post(url(cast.owners_horse), sent(cast.owners_horse)).status_code == 302
    assert on(cast.owners_horse) == ["WRN22"]
    assert wearings.open_of(cast.worn).since == since
    assert JournalEntry.objects.latest("pk").action == "wearing_taken_back"
    assert last_change.of(cast.owners_horse, timezone.now()).on


def test_a_blanket_hangs_where_it_hung(cast, put_on):
    at = last_change.of(cast.owners_horse, timezone.now()).at
    last_change.take_back(cast.owners_horse, at=at, actor=ago(cast.staff))
    now = Placing.objects.get(blanket=cast.barn_blanket, until=None)
    assert (now.kind, now.place) == ("rack", "Far aisle, hook 3")


def test_a_soaked_one_that_never_came_off_is_on_again(cast, sign_in):
    wearing.mark_soaked(cast.wearing, actor=ago(cast.staff, 20))
    wearing.take_off(cast.wearing, actor=ago(cast.staff, 10), fate=wearing.Fate(wet=True, place="Loft"))
    assert sign_in(cast.staff).post(url(cast.owners_horse), sent(cast.owners_horse)).status_code == 302
    worn = wearings.open_of(cast.worn)
    assert (worn.soaked_at is not None, worn.unbroken_since) == (True, cast.wearing.on_at)


def test_neither_the_mis_tap_nor_its_taking_back_is_a_change_to_pay(cast, put_on):
    now = timezone.now()
    span = (now - timedelta(days=1), now + timedelta(days=1))
    assert len(money.changes(cast.barn, *span)) == 1
    at = last_change.of(cast.owners_horse, now).at
    last_change.take_back(cast.owners_horse, at=at, actor=ago(cast.staff))
    assert money.changes(cast.barn, *span) == []


def test_what_is_taken_back_in_the_next_month_is_not_paid_in_this_one(cast):
    evening, end = datetime(2026, 2, 1, 8, 30, tzinfo=UTC), datetime(2026, 2, 1, 9, tzinfo=UTC)
    wearing.change(cast.owners_horse, to=[], actor=Actor(cast.staff, now=evening))
    assert len(money.changes(cast.barn, end - timedelta(days=2), end)) == 1
    last_change.take_back(cast.owners_horse, at=evening, actor=Actor(cast.staff, now=end + timedelta(hours=1)))
    assert money.changes(cast.barn, end - timedelta(days=2), end) == []
    assert money.changes(cast.barn, end, end + timedelta(days=28)) == []


def test_what_stands_on_a_list_is_taken_back_there(cast, sign_in):
    line = line_of(cast)
    lists.mark_other(line, to=[], why="Too warm", actor=ago(cast.staff))
    assert last_change.of(cast.owners_horse, timezone.now()) is None
    answer = sign_in(cast.staff).get(url(cast.owners_horse))
    assert (answer.status_code, answer["Location"]) == (302, reverse("horse", args=["home", cast.owners_horse.pk]))


def test_it_is_offered_where_one_looks_for_it_and_only_of_late(cast, sign_in, put_on):
    client = sign_in(cast.staff)
    for page in ("horse", cast.owners_horse.pk), ("blanket", cast.barn_blanket.pk), ("blanket", cast.worn.pk):
        assert url(cast.owners_horse) in client.get(reverse(page[0], args=["home", page[1]])).content.decode()
    later = timezone.now() + last_change.LATELY
    assert last_change.of(cast.owners_horse, later) is None


def test_what_was_changed_again_since_is_refused(cast, put_on):
    at = last_change.of(cast.owners_horse, timezone.now()).at
    wearing.change(cast.owners_horse, to=[], actor=ago(cast.staff))
    with pytest.raises(Refused, match="was changed again since"):
        last_change.take_back(cast.owners_horse, at=at, actor=ago(cast.staff))
    assert on(cast.owners_horse) == []


@pytest.mark.parametrize(("who", "may"), [("staff", True), ("manager", True), ("staff_owner", False)])
def test_only_who_did_it_or_the_manager_takes_it_back(cast, sign_in, put_on, who, may):
    """To others it is a change like any other, with its reason, and a note or a chart may bar it."""
    client, horse = sign_in(getattr(cast, who)), cast.owners_horse
    page = client.get(reverse("horse", args=["home", horse.pk])).content.decode()
    answer = client.post(url(horse), sent(horse))
    assert (url(horse) in page, answer.status_code, on(horse)) == (
        may,
        302 if may else 200,
        ["WRN22" if may else "BRN88"],
    )


def test_what_a_manager_settled_is_not_taken_back_as_a_mis_tap(cast, put_on):
    now = timezone.now()
    make.QuestionFactory(
        barn=cast.barn,
        person=cast.staff,
        horse=cast.owners_horse,
        answer="accepted",
        answered_at=now - timedelta(minutes=10),
        answered_by=cast.manager,
    )
    assert last_change.of(cast.owners_horse, now) is None


def test_where_two_things_are_noted_of_one_time_nothing_is_a_mis_tap(cast, put_on):
    Wearing.objects.filter(horse=cast.owners_horse).update(overlaps=True)
    assert last_change.of(cast.owners_horse, timezone.now()) is None


@pytest.mark.parametrize("at", ["", "yesterday", "2026-01-01T12:00:00"])
def test_a_bad_form_changes_nothing(cast, sign_in, put_on, at):
    before = records()
    answer = sign_in(cast.staff).post(url(cast.owners_horse), {"once": str(uuid.uuid4()), "at": at})
    assert (answer.status_code, records()) == (200, before)
    assert list(answer.context["form"].errors) == ["at"]


@pytest.mark.parametrize(("who", "status"), [(None, 302), ("other_owner", 404), ("stranger", 404)])
def test_nobody_else_takes_it_back(cast, sign_in, put_on, who, status):
    before = records()
    answer = sign_in(getattr(cast, who) if who else None).post(url(cast.owners_horse), sent(cast.owners_horse))
    assert (answer.status_code, records()) == (status, before)
    assert who or "/account/login/" in answer["Location"]


def test_sent_again_it_happens_once(cast, sign_in, put_on):
    client, data = sign_in(cast.staff), sent(cast.owners_horse)
    assert [client.post(url(cast.owners_horse), data).status_code for _ in range(2)] == [302, 302]
    assert JournalEntry.objects.filter(action="wearing_taken_back").count() == 1
    assert Wearing.objects.filter(horse=cast.owners_horse, off_at=None).count() == 1
