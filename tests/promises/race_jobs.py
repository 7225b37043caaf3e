"""What one of two racing processes can be told to do; each answers with what became of it."""

import uuid
from typing import Any

from barnrugs.barns import journal
from barnrugs.barns.domain.once import OtherContent, do_once
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from horses.models import Horse
from inventory.domain import wearing
from inventory.models import Blanket, Wearing


def put_on(blanket: int, horse: int, person: int, layer: int | None = None) -> str:
    wearing.put_on(
        Blanket.objects.get(pk=blanket), horse=Horse.objects.get(pk=horse), layer=layer, actor=_actor(person)
    )
    return "done"


def take_off(worn: int, person: int) -> str:
    wearing.take_off(Wearing.objects.get(pk=worn), actor=_actor(person))
    return "done"


def change(horse: int, to: list[int], person: int) -> str:
    wearing.change(Horse.objects.get(pk=horse), to=[Blanket.objects.get(pk=pk) for pk in to], actor=_actor(person))
    return "done"


def once(key: str, digest: str, person: int) -> str:
    actor = _actor(person)

    def write() -> str:
        journal.write(actor, "barn_made", about=[actor.barn])
        return f"/written/by/{uuid.uuid4()}"

    try:
        answer, now = do_once(actor, uuid.UUID(key), digest, write)
    except OtherContent:
        return "other content"
    return f"{'done' if now else 'repeat'} {answer}"


def _actor(person: int) -> Actor:
    return Actor(Person.objects.get(pk=person))


JOBS = {call.__name__: call for call in (put_on, take_off, change, once)}


def carry_out(job: dict[str, Any]) -> str:
    try:
        return JOBS[job["call"]](**job["with"])
    except Refused as refused:
        return f"refused: {refused.sentence}"
    except Exception as error:  # noqa: BLE001  the test that waits for an answer shows it
        return f"failed: {error!r}"
