"""Promise 4: a write can be sent again and happens once."""

import uuid
from collections.abc import Callable
from datetime import timedelta

import pytest

from barnrugs.barns import journal
from barnrugs.barns.domain.once import KEPT, OtherContent, do_once, forget_old
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, SentWrite
from tests.cast import NOW, Cast

KEY = uuid.UUID(int=7)
CONTENT, OTHER = "a" * 64, "b" * 64
Act = Callable[..., Actor]


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
