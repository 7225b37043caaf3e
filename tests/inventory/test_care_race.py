"""Twenty clients at once on one piece of work, through a real server, on whichever database the tests run on."""

import os
import re
import socket
import subprocess
import sys
import time
import uuid
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from threading import Barrier

import pytest
import requests
from django.test import Client

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry, Person
from inventory.domain import batches, care, damage
from inventory.enums import CareKind, CareStep, DamagedPart
from inventory.models import CareJob, CareMove
from tests import factories as make
from tests.cast import Cast, build_cast
from tests.harness import size
from tests.inventory.care_walks import bring
from tests.inventory.sending import address

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]

CLIENTS = 20
ROUNDS = size(200)
LETTERS = 12
TOKEN = "t" * 32
FIRST = re.compile(r"was there first, at \d+ \w+ \d\d:\d\d")


@dataclass(frozen=True)
class Answer:
    status: int
    text: str


class Browser:
    """One signed-in person at the server; its form carries the token that its cookie carries."""

    def __init__(self, server: str, person: Person) -> None:
        signed_in = Client()
        signed_in.force_login(person.user)
        self.server = server
        self.session = requests.Session()
        self.session.trust_env = False
        self.session.headers["Connection"] = "close"  # else the server may close an idle one just as we write to it
        self.session.cookies.update({"sessionid": signed_in.cookies["sessionid"].value, "csrftoken": TOKEN})

    def send(self, path: str, data: dict[str, str]) -> Answer:
        sent = {"csrfmiddlewaretoken": TOKEN, "once": str(uuid.uuid4()), **data}
        answer = self.session.post(f"{self.server}{path}", data=sent, allow_redirects=False, timeout=60)
        return Answer(answer.status_code, answer.text)


@pytest.fixture
def barnful(transactional_db: None) -> Cast:
    return build_cast()


@pytest.fixture
def server(database_url: str) -> Iterator[str]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        host = f"127.0.0.1:{free.getsockname()[1]}"
    process = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "gunicorn",
            "barnrugs.wsgi",
            "-b",
            host,
            "-w",
            "2",
            "--threads",
            "10",
            "--log-level",
            "error",
        ],
        env={**os.environ, "DATABASE_URL": database_url, "BARNRUGS_MODE": "development"},
    )
    _wait_for(host)
    yield f"http://{host}"
    process.terminate()
    process.wait(timeout=30)


def _wait_for(host: str) -> None:
    name, port = host.split(":")
    for _ in range(150):
        try:
            socket.create_connection((name, int(port)), 1).close()
        except OSError:
            time.sleep(0.2)
        else:
            return
    pytest.fail("the server did not start")


@pytest.fixture
def browsers(barnful: Cast, server: str) -> Iterator[list[Browser]]:
    """Twenty managers, each in a browser of their own."""
    people = [
        make.PersonFactory(barn=barnful.barn, name=f"Manager {number}", is_manager=True) for number in range(CLIENTS)
    ]
    opened = [Browser(server, person) for person in people]
    yield opened
    for browser in opened:
        browser.session.close()


@pytest.fixture
def at_once() -> Iterator[Callable[[list[Callable[[], Answer]]], list[Answer]]]:
    """All at the same moment: nobody sends before everybody is ready."""
    with ThreadPoolExecutor(CLIENTS) as pool:

        def run(calls: list[Callable[[], Answer]]) -> list[Answer]:
            barrier = Barrier(len(calls))

            def go(call: Callable[[], Answer]) -> Answer:
                barrier.wait(timeout=30)
                return call()

            return list(pool.map(go, calls))

        yield run


def test_twenty_decide_at_once_and_one_of_them_decides(barnful: Cast, browsers, at_once) -> None:
    """The others are told who was first, each time; nothing else is ever answered."""
    choices = ("repair", "here", "ignore", "retire", "wash")
    seen: Counter[int] = Counter()
    for _ in range(ROUNDS):
        blanket = make.BlanketFactory(barn=barnful.barn)
        job = damage.report(blanket, part=DamagedPart.STRAP, usable=True, actor=Actor(barnful.staff))
        url = address("care_step", job.pk, "decide")
        answers = at_once(
            [
                partial(browser.send, url, {"turn": str(job.turn), "decision": choices[number % 5]})
                for number, browser in enumerate(browsers)
            ]
        )
        seen.update(answer.status for answer in answers)
        assert Counter(answer.status for answer in answers) == {302: 1, 200: CLIENTS - 1}
        assert all(FIRST.search(answer.text) for answer in answers if answer.status == 200)
        assert CareMove.objects.filter(job=job).count() == 2
        entries = JournalEntry.objects.filter(
            subjects__kind="blanket", subjects__subject_id=blanket.pk, action__in=["care_decided", "blanket_retired"]
        )
        assert sum(entry.after.get("note") != "Wash comes first." for entry in entries) == 1
    assert seen == {302: ROUNDS, 200: ROUNDS * (CLIENTS - 1)}


def test_one_person_taps_twenty_times_and_it_happens_once(barnful: Cast, browsers, at_once) -> None:
    """The same form, the same number: all get the one answer."""
    for _ in range(max(2, ROUNDS // 4)):
        job = care.ask(make.BlanketFactory(barn=barnful.barn), CareKind.WASH, actor=Actor(barnful.staff))
        data = {"turn": str(job.turn), "decision": "wash", "once": str(uuid.uuid4())}
        url = address("care_step", job.pk, "decide")
        answers = at_once([partial(browsers[0].send, url, data)] * CLIENTS)
        assert Counter(answer.status for answer in answers) == {302: CLIENTS}
        assert CareMove.objects.filter(job=job, word="decide").count() == 1


def test_twenty_check_in_the_same_line_at_once(barnful: Cast, browsers, at_once) -> None:
    manager = Actor(barnful.manager)
    for number in range(max(2, ROUNDS // 4)):
        blanket = make.BlanketFactory(barn=barnful.barn)
        job = bring(care.ask(blanket, CareKind.WASH, actor=manager), CareStep.DECIDED, manager)
        batch = batches.hand_over(batches.make([job], to_whom=f"Laundry {number}", actor=manager), actor=manager)
        line = batch.lines.get()
        outcomes = ("done", "not_done", "damaged", "missing")
        answers = at_once(
            [
                partial(
                    browser.send, address("batch_check", line.pk), {"outcome": outcomes[place % 4], "part": "shell"}
                )
                for place, browser in enumerate(browsers)
            ]
        )
        counted = Counter(answer.status for answer in answers)
        assert set(counted) <= {302, 200}
        line.refresh_from_db()
        final = CareMove.objects.filter(job=job, word="check_in")
        assert final.count() == 1
        assert line.outcome == final.get().outcome


def test_twenty_report_the_same_tear_at_once_and_it_is_one_piece_of_work(barnful: Cast, browsers, at_once) -> None:
    for _ in range(max(2, ROUNDS // 4)):
        blanket = make.BlanketFactory(barn=barnful.barn)
        url = address("damage", blanket.pk)
        answers = at_once([partial(browser.send, url, {"part": "shell", "use": "do_not_use"}) for browser in browsers])
        assert Counter(answer.status for answer in answers) == {302: CLIENTS}
        job = CareJob.objects.get(blanket=blanket)
        assert (job.do_not_use, job.moves.count(), job.turn) == (True, CLIENTS, CLIENTS)


def test_four_senders_at_once_send_each_letter_once(barnful: Cast, database_url: str) -> None:
    """Real processes; each prints the letters that it sends."""
    for number in range(LETTERS):
        blanket = make.BlanketFactory(barn=barnful.barn, owner=barnful.owner, tag=f"DUE{number:02}")
        damage.report(blanket, part=DamagedPart.SHELL, usable=False, actor=Actor(barnful.staff))
    senders = [
        subprocess.Popen(
            [sys.executable, "manage.py", "send_mail_due"],
            env={**os.environ, "DATABASE_URL": database_url, "BARNRUGS_MODE": "development"},
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(4)
    ]
    said = "".join(sender.communicate(timeout=120)[0] for sender in senders)
    assert [sender.returncode for sender in senders] == [0, 0, 0, 0]
    subjects = re.findall(r"^Subject: .*(DUE\d\d) is marked do not use", said, re.MULTILINE)
    assert sorted(subjects) == [f"DUE{number:02}" for number in range(LETTERS)]
