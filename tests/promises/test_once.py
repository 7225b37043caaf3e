"""Promise 4: a write can be sent again and happens once."""

import uuid
from collections.abc import Callable
from datetime import timedelta

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from barnrugs.barns import journal
from barnrugs.barns.domain.once import KEPT, OtherContent, do_once, forget_old
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, Person, SentWrite
from tests.cast import NOW, Cast
from tests.factories import LONG_AGO

KEY = uuid.UUID(int=7)
CONTENT, OTHER = "a" * 64, "b" * 64
Act = Callable[..., Actor]
SignIn = Callable[[Person | None], Client]


def write(actor: Actor, answer: str = "/next") -> Callable[[], str]:
    def call() -> str:
        journal.write(actor, "barn_made", about=[actor.barn])
        return answer

    return call


def written(actor: Actor) -> int:
    return JournalEntry.objects.filter(person_key=actor.person.key).count()


def test_sent_twice_happens_once_with_the_same_answer(cast: Cast, act: Act) -> None:
    actor = act(cast.manager)
    assert do_once(actor, KEY, CONTENT, write(actor, "/first")) == ("/first", True)
    assert do_once(actor, KEY, CONTENT, write(actor, "/second")) == ("/first", False)
    assert written(actor) == 1


def test_other_content_under_the_same_number_is_no_repeat(cast: Cast, act: Act) -> None:
    actor = act(cast.manager)
    do_once(actor, KEY, CONTENT, write(actor))
    with pytest.raises(OtherContent):
        do_once(actor, KEY, OTHER, write(actor))
    assert written(actor) == 1


def test_a_refused_write_does_not_use_the_number_up(cast: Cast, act: Act) -> None:
    actor = act(cast.manager)

    def refuse() -> str:
        journal.write(actor, "barn_made", about=[actor.barn])
        raise Refused("Not now.")

    with pytest.raises(Refused):
        do_once(actor, KEY, CONTENT, refuse)
    assert (written(actor), SentWrite.objects.count()) == (0, 0)
    assert do_once(actor, KEY, OTHER, write(actor)) == ("/next", True)


def test_each_person_and_each_device_has_numbers_of_its_own(cast: Cast, act: Act) -> None:
    senders = [act(cast.manager), act(cast.staff), act(cast.staff, device=cast.phone)]
    assert [do_once(actor, KEY, CONTENT, write(actor)) for actor in senders] == [("/next", True)] * 3


def test_on_a_shared_phone_the_number_is_the_phones(cast: Cast, act: Act) -> None:
    do_once(act(cast.staff, device=cast.phone), KEY, CONTENT, write(act(cast.staff)))
    again = act(cast.manager, device=cast.phone)
    assert do_once(again, KEY, CONTENT, write(again)) == ("/next", False)
    assert written(again) == 0


def test_numbers_are_kept_ninety_days(cast: Cast, act: Act) -> None:
    actor = act(cast.manager)
    do_once(actor, KEY, CONTENT, write(actor))
    assert timedelta(days=90) == KEPT
    assert forget_old(NOW + KEPT) == 0
    assert forget_old(NOW + KEPT + timedelta(seconds=1)) == 1
    assert SentWrite.objects.count() == 0


def wear(client: Client, cast: Cast, **fields: str) -> HttpResponse:
    url = reverse("wear", args=[cast.barn.slug, cast.owners_horse.pk])
    return client.post(url, {"once": str(KEY), "tags": cast.owners_blanket.tag, **fields})


def test_by_the_page_too_a_write_sent_again_is_answered_and_not_done(cast: Cast, sign_in: SignIn) -> None:
    client = sign_in(cast.staff)
    first, again = wear(client, cast), wear(client, cast)
    assert (first.status_code, again.status_code) == (302, 302)
    assert first.url == again.url
    assert JournalEntry.objects.filter(action="blanket_put_on").count() == 1
    assert wear(client, cast, tags="").status_code == 422
    assert set(cast.owners_horse.wearings.filter(off_at=None).values_list("blanket__tag", flat=True)) == {"WNR33"}


def test_access_is_looked_at_before_a_repeat_is_answered(cast: Cast, sign_in: SignIn) -> None:
    client = sign_in(cast.owner)
    assert wear(client, cast).status_code == 302
    cast.owners_horse.owners.update(until=LONG_AGO)
    assert wear(client, cast).status_code == 404


def test_a_refused_form_can_be_sent_right_under_its_number(cast: Cast, sign_in: SignIn) -> None:
    client = sign_in(cast.staff)
    refused = wear(client, cast, tags=cast.other.blanket.tag)
    assert refused.status_code == 400
    assert f'value="{KEY}"' in refused.content.decode()
    assert wear(client, cast).status_code == 302
