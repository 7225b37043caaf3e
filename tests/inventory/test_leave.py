"""Leave to use another owner's blanket: given by its owner or a manager, from a day to another."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from barnrugs.barns.domain.refusal import Refused
from horses.queries.horse import today_in
from inventory.domain import leave as domain
from inventory.domain import snapshot
from inventory.models import Leave
from tests import factories as make
from tests.writes import Write, six_tests, typed

TestWrites = six_tests(
    [
        Write(
            "leave_add",
            "leave_given",
            "owner",
            {"pk": "owners_blanket"},
            {"horse": "Fern"},
            {"horse": "Nobody"},
            "horse",
            404,
        ),
        Write(
            "leave_end",
            "leave_ended",
            "owner",
            {"pk": "owners_blanket", "leave": "leave"},
            bad={"why": "x" * 201},
            at="why",
            others=404,
        ),
    ]
)

pytestmark = pytest.mark.django_db


def allowed(cast, horse):
    """Whether the matching may offer the owner's blanket to this horse."""
    subject = snapshot.read(cast.barn, timezone.now(), only=horse).subject(horse)
    return cast.owners_blanket.tag in {value.tag for value in subject.wardrobe if value.allowed}


def give(cast, horse, **how):
    actor = domain.Actor(person=cast.owner)
    return domain.give_leave(cast.owners_blanket, horse=horse, **{"since": today_in(cast.barn), "actor": actor, **how})


def test_with_leave_it_is_offered_to_that_horse_and_no_other(cast):
    assert not allowed(cast, cast.barn_horse)
    give(cast, cast.barn_horse)
    assert allowed(cast, cast.barn_horse)
    assert not allowed(cast, cast.other_horse)


def test_leave_for_any_horse_is_for_all(cast):
    give(cast, None)
    assert allowed(cast, cast.barn_horse)
    assert allowed(cast, cast.other_horse)


def test_it_holds_from_its_first_to_its_last_day(cast):
    today = today_in(cast.barn)
    give(cast, cast.barn_horse, since=today + timedelta(days=1))
    assert not allowed(cast, cast.barn_horse)
    give(cast, cast.other_horse, until=today)
    assert allowed(cast, cast.other_horse)
    Leave.objects.filter(horse=cast.other_horse).update(since=today - timedelta(5), until=today - timedelta(1))
    assert not allowed(cast, cast.other_horse)


def test_ended_it_is_offered_no_more_the_same_day(cast):
    leave = give(cast, cast.barn_horse)
    domain.end_leave(leave, actor=domain.Actor(person=cast.manager))
    assert not allowed(cast, cast.barn_horse)
    domain.end_leave(cast.leave, actor=domain.Actor(person=cast.manager))
    cast.leave.refresh_from_db()
    assert cast.leave.until == today_in(cast.barn) - timedelta(days=1)


def test_what_needs_no_leave_or_has_it_is_a_sentence(cast):
    with pytest.raises(Refused, match="barn's own"):
        domain.give_leave(
            cast.barn_blanket, horse=None, since=today_in(cast.barn), actor=domain.Actor(person=cast.manager)
        )
    with pytest.raises(Refused, match="already"):
        give(cast, cast.staff_owners_horse)
    with pytest.raises(Refused, match="ended already"):
        domain.end_leave(None, actor=domain.Actor(person=cast.manager))


@pytest.mark.parametrize(
    ("fields", "at"),
    [
        ({"horse": "Their Horse"}, "horse"),
        ({"until": "2001-01-01"}, "until"),
        ({"since": "someday"}, "since"),
    ],
)
def test_a_bad_form_says_where(cast, sign_in, fields, at):
    url = reverse("leave_add", args=[cast.barn.slug, cast.owners_blanket.pk])
    client = sign_in(cast.owner)
    answer = client.post(url, typed(client, url, **{"horse": "Fern", **fields}))
    assert list(answer.context["form"].errors) == [at]


@pytest.mark.parametrize(
    ("fields", "at"),
    [
        ({"whom": "one", "horse": ""}, ["horse"]),
        ({"whom": "any", "horse": "Fern"}, ["horse"]),
        ({"whom": "", "horse": ""}, ["whom"]),
        ({"whom": "everybody", "horse": ""}, ["whom"]),
    ],
)
def test_nobody_lets_every_horse_wear_it_by_leaving_a_field_empty(cast, sign_in, fields, at):
    url = reverse("leave_add", args=[cast.barn.slug, cast.owners_blanket.pk])
    client, before = sign_in(cast.owner), Leave.objects.count()
    answer = client.post(url, typed(client, url, **fields))
    assert list(answer.context["form"].errors) == at
    assert Leave.objects.count() == before


def test_any_horse_is_a_choice(cast, sign_in):
    url = reverse("leave_add", args=[cast.barn.slug, cast.owners_blanket.pk])
    client = sign_in(cast.owner)
    assert client.post(url, typed(client, url, whom="any", horse="")).status_code == 302
    assert Leave.objects.get(blanket=cast.owners_blanket, horse=None).since == today_in(cast.barn)


def test_two_horses_of_one_name_are_not_told_apart_by_guessing(cast, sign_in):
    make.HorseFactory(barn=cast.barn, name="FERN")
    url = reverse("leave_add", args=[cast.barn.slug, cast.owners_blanket.pk])
    client = sign_in(cast.owner)
    answer = client.post(url, typed(client, url, horse="fern"))
    assert "ask a manager" in answer.context["form"].errors["horse"][0]


def test_the_page_lists_what_holds_or_is_to_come(cast, sign_in):
    ended = make.LeaveFactory(blanket=cast.owners_blanket, horse=cast.barn_horse)
    Leave.objects.filter(pk=ended.pk).update(until=ended.since)
    answer = sign_in(cast.owner).get(reverse("blanket_lending", args=[cast.barn.slug, cast.owners_blanket.pk]))
    assert list(answer.context["leaves"]) == [cast.leave]
