"""Promises 1 and 4: two real processes act at the same moment on one database file or server."""

import json
import os
import subprocess
import sys
import uuid
from collections.abc import Iterator
from typing import Any

import pytest

from barnrugs.barns.models import JournalEntry, SentWrite
from inventory.models import Blanket, Wearing
from tests import factories as make
from tests.cast import Cast, build_cast

pytestmark = pytest.mark.django_db(transaction=True)
ROUNDS = 8


class Racer:
    def __init__(self, database_url: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.promises.racer"],
            env={**os.environ, "DATABASE_URL": database_url, "DJANGO_SETTINGS_MODULE": "barnrugs.settings"},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self.hear() == "here"

    def tell(self, line: str) -> None:
        self.process.stdin.write(f"{line}\n")
        self.process.stdin.flush()

    def hear(self) -> str:
        return self.process.stdout.readline().strip()

    def end(self) -> None:
        self.process.communicate(timeout=20)


@pytest.fixture
def two_racers(database_url: str) -> Iterator[list[Racer]]:
    racers = [Racer(database_url), Racer(database_url)]
    yield racers
    for racer in racers:
        racer.end()


def race(racers: list[Racer], *jobs: tuple[str, dict[str, Any]]) -> list[str]:
    """Both have read their job and wait; then both are told to go."""
    for racer, (call, how) in zip(racers, jobs, strict=True):
        racer.tell(json.dumps({"call": call, "with": how}))
    assert [racer.hear() for racer in racers] == ["ready", "ready"]
    for racer in racers:
        racer.tell("go")
    return [json.loads(racer.hear()) for racer in racers]


@pytest.fixture
def barnful(transactional_db: None) -> Cast:
    return build_cast()


def entries(action: str) -> int:
    return JournalEntry.objects.filter(action=action).count()


def test_one_blanket_for_two_horses(barnful: Cast, two_racers: list[Racer]) -> None:
    """One succeeds; the other is told who has it and since when; nothing is lost."""
    for _ in range(ROUNDS):
        blanket = make.BlanketFactory(barn=barnful.barn)
        horses = [make.HorseFactory(barn=barnful.barn), make.HorseFactory(barn=barnful.barn)]
        people = [barnful.staff, barnful.manager]
        told = race(
            two_racers,
            *(
                ("put_on", {"blanket": blanket.pk, "horse": horse.pk, "person": person.pk})
                for horse, person in zip(horses, people, strict=True)
            ),
        )
        worn = Wearing.objects.get(blanket=blanket)
        winner = horses.index(worn.horse)
        assert told[winner] == "done"
        assert worn.on_by == people[winner]
        assert told[1 - winner].startswith(f"refused: {blanket} is on {worn.horse}: {worn.on_by} put it on at ")
    assert entries("blanket_put_on") == ROUNDS


def test_one_horse_and_two_blankets_for_the_same_layer(barnful: Cast, two_racers: list[Racer]) -> None:
    for _ in range(ROUNDS):
        horse = make.HorseFactory(barn=barnful.barn)
        blankets = [make.BlanketFactory(barn=barnful.barn) for _ in two_racers]
        told = race(
            two_racers,
            *(
                ("put_on", {"blanket": blanket.pk, "horse": horse.pk, "person": barnful.staff.pk, "layer": 1})
                for blanket in blankets
            ),
        )
        worn = Wearing.objects.get(horse=horse)
        winner = blankets.index(worn.blanket)
        assert told[winner] == "done"
        assert told[1 - winner].startswith("refused: ")
        assert horse.name in told[1 - winner]
    assert entries("blanket_put_on") == ROUNDS


def test_two_people_change_one_horse(barnful: Cast, two_racers: list[Racer]) -> None:
    """Whoever comes second finds what the first put on and takes it off: the horse wears the second one's choice."""
    for _ in range(ROUNDS):
        horse = make.HorseFactory(barn=barnful.barn)
        blankets = [make.BlanketFactory(barn=barnful.barn) for _ in two_racers]
        told = race(
            two_racers,
            *(("change", {"horse": horse.pk, "to": [blanket.pk], "person": barnful.staff.pk}) for blanket in blankets),
        )
        assert told == ["done", "done"]
        assert Wearing.objects.filter(horse=horse).count() == 2
        assert Wearing.objects.filter(horse=horse, off_at__isnull=True).count() == 1
    assert (entries("blanket_put_on"), entries("blanket_taken_off")) == (2 * ROUNDS, ROUNDS)


def test_two_people_take_off_the_same_blanket(barnful: Cast, two_racers: list[Racer]) -> None:
    for _ in range(ROUNDS):
        worn = make.WearingFactory(blanket=make.BlanketFactory(barn=barnful.barn))
        people = [barnful.staff, barnful.manager]
        told = race(two_racers, *(("take_off", {"worn": worn.pk, "person": person.pk}) for person in people))
        worn.refresh_from_db()
        winner = people.index(worn.off_by)
        assert told[winner] == "done"
        assert told[1 - winner].startswith(f"refused: {worn.off_by} took {worn.blanket} off {worn.horse} at ")
    assert entries("blanket_taken_off") == ROUNDS


def test_the_same_write_sent_twice_at_once_happens_once(barnful: Cast, two_racers: list[Racer]) -> None:
    """A person taps twice: both sendings get the one answer."""
    for _ in range(ROUNDS):
        job = ("once", {"key": str(uuid.uuid4()), "digest": "a" * 64, "person": barnful.staff.pk})
        first, second = sorted(race(two_racers, job, job))
        assert first.startswith("done /written/by/")
        assert second == first.replace("done", "repeat")
    assert SentWrite.objects.count() == ROUNDS
    assert entries("barn_made") == ROUNDS + 2  # the cast's own two entries besides


def test_other_content_under_one_number_at_once_is_told_so(barnful: Cast, two_racers: list[Racer]) -> None:
    for _ in range(ROUNDS):
        key = str(uuid.uuid4())
        jobs = [("once", {"key": key, "digest": letter * 64, "person": barnful.staff.pk}) for letter in "ab"]
        first, second = sorted(race(two_racers, *jobs))
        assert first.startswith("done /written/by/")
        assert second == "other content"
    assert entries("barn_made") == ROUNDS + 2


def test_many_put_on_many_blankets_and_none_is_lost(barnful: Cast, two_racers: list[Racer]) -> None:
    """No "database is locked": each process writes its own while the other writes."""
    for _ in range(ROUNDS):
        told = race(
            two_racers,
            *(
                (
                    "put_on",
                    {
                        "blanket": make.BlanketFactory(barn=barnful.barn).pk,
                        "horse": make.HorseFactory(barn=barnful.barn).pk,
                        "person": barnful.staff.pk,
                    },
                )
                for _ in two_racers
            ),
        )
        assert told == ["done", "done"]
    assert Blanket.objects.filter(wearings__off_at__isnull=True, wearings__isnull=False).count() == 2 * ROUNDS + 2
