"""A long list comes in while somebody else puts blankets on: nobody waits for all of it, no line is written twice."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator

import pytest
from django.core.management import CommandError, call_command

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry
from inventory import tags
from inventory.domain import import_blankets, wearing
from inventory.domain import imports as domain
from inventory.enums import ImportStep, ImportWhat, LineFate
from inventory.models import Blanket, ImportRun
from inventory.pace import go_on
from inventory.sheets.table import Line, Table
from tests import factories as make
from tests.cast import Cast, build_cast
from tests.harness import size

LINES = size(10_000)
LONGEST_S = 5.0
"""What a put-on may take at worst on a busy test machine; the figures measured are printed."""


def a_list(cast: Cast, lines: int) -> ImportRun:
    """Confirmed, nothing written yet; a third of its lines bring a tag of their own."""
    head = Line(1, ("Tag", "Kind", "Size", "Fill", "Waterproof", "Owner", "Horse", "Price", "Where it hangs"))
    rows = [
        Line(
            number + 2,
            (
                tags.numbered(500_000 + number) if number % 3 == 0 else "",
                "Turnout",
                str(60 + number % 30),
                "200",
                "yes",
                "Owner",
                "Bramble",
                "120",
                f"Rack {number}",
            ),
        )
        for number in range(lines)
    ]
    actor = Actor(cast.manager)
    table = Table((head, *rows))
    sent = domain.Sent("long.csv", "0" * 64, cast.manager.key)
    run = domain.begin(table, what=ImportWhat.BLANKETS, sent=sent, actor=actor)
    domain.stage(run, table)
    run.refresh_from_db()
    while not domain.is_checked(run):
        run = domain.check_chunk(run)
    return domain.confirm(run, good=lines, actor=actor)


@pytest.fixture
def barnful(transactional_db: None) -> Cast:
    return build_cast()


@pytest.fixture
def importers(database_url: str) -> Iterator[list[subprocess.Popen[str]]]:
    """Processes that each bring a list in, as `manage.py run_import` does."""
    started: list[subprocess.Popen[str]] = []
    yield started
    for process in started:
        process.communicate(timeout=300)


def start(database_url: str, run: ImportRun) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "manage.py", "run_import", str(run.pk)],
        env={**os.environ, "DATABASE_URL": database_url},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def put_on_and_off(cast: Cast, blankets: list[Blanket], until: "subprocess.Popen[str] | Alone") -> list[float]:
    """Seconds each put-on took while the process ran."""
    horse, took = make.HorseFactory(barn=cast.barn), []
    while until.poll() is None:
        blanket = blankets[len(took) % len(blankets)]
        begun = time.perf_counter()
        worn = wearing.put_on(blanket, horse=horse, actor=Actor(cast.staff))
        took.append(time.perf_counter() - begun)
        wearing.take_off(worn, actor=Actor(cast.staff))
        time.sleep(0.05)
    return took


def test_somebody_else_puts_blankets_on_while_a_long_list_comes_in(
    barnful: Cast, database_url: str, importers: list[subprocess.Popen[str]], capsys: pytest.CaptureFixture[str]
) -> None:
    run = a_list(barnful, LINES)
    blankets = [make.BlanketFactory(barn=barnful.barn) for _ in range(5)]
    quiet = put_on_and_off(barnful, blankets, Alone())
    before, begun = Blanket.objects.count(), time.perf_counter()
    importers.append(start(database_url, run))
    took = put_on_and_off(barnful, blankets, importers[0])
    whole = time.perf_counter() - begun
    with capsys.disabled():
        sys.stdout.write(f"\n{LINES} lines in {whole:.1f} s; put-on alone: {told(quiet)}; meanwhile: {told(took)}\n")
    run.refresh_from_db()
    assert importers[0].returncode == 0, importers[0].stderr and importers[0].stderr.read()
    assert (run.step, Blanket.objects.count() - before) == (ImportStep.FINISHED, LINES)
    assert JournalEntry.objects.filter(import_key=run.key, action="blanket_added").count() == LINES
    assert max(took) < LONGEST_S


def told(took: list[float]) -> str:
    return f"{len(took)} times, median {statistics.median(took) * 1000:.0f} ms, worst {max(took) * 1000:.0f} ms"


class Alone:
    """Stands in the place of the process, for as many put-ons as give a median."""

    left = 20

    def poll(self) -> int | None:
        self.left -= 1
        return None if self.left >= 0 else 0


def test_two_processes_bring_in_one_list_and_each_line_once(
    barnful: Cast, database_url: str, importers: list[subprocess.Popen[str]]
) -> None:
    run = a_list(barnful, max(LINES // 4, 60))
    before = Blanket.objects.count()
    importers += [start(database_url, run), start(database_url, run)]
    said = [process.communicate(timeout=300) for process in importers]
    assert [process.returncode for process in importers] == [0, 0], said
    run.refresh_from_db()
    assert (run.step, Blanket.objects.count() - before) == (ImportStep.FINISHED, run.line_count)
    assert JournalEntry.objects.filter(import_key=run.key, action="blanket_added").count() == run.line_count
    assert set(run.lines.filter(number__gt=1).values_list("fate", flat=True)) == {LineFate.ADDED}


def test_a_killed_process_loses_nothing_and_doubles_nothing(
    barnful: Cast, database_url: str, importers: list[subprocess.Popen[str]]
) -> None:
    """Killed at a moment of its own; another goes on where it was."""
    run = a_list(barnful, max(LINES // 4, 1200))
    before = Blanket.objects.count()
    process = start(database_url, run)
    while Blanket.objects.count() == before and process.poll() is None:
        time.sleep(0.01)
    process.kill()
    process.communicate(timeout=60)
    written = Blanket.objects.count() - before
    assert 0 < written <= run.line_count
    run.refresh_from_db()
    go_on(run, seconds=None)
    run.refresh_from_db()
    assert (run.step, Blanket.objects.count() - before) == (ImportStep.FINISHED, run.line_count)
    assert JournalEntry.objects.filter(import_key=run.key, action="blanket_added").count() == run.line_count


def test_a_tag_taken_in_the_middle_of_a_chunk_refuses_its_line_alone(barnful: Cast, monkeypatch) -> None:
    """Between the look and the write somebody else takes a tag: the database refuses one line, the others come in."""
    run = a_list(barnful, 6)
    looked = import_blankets.queries.blankets_by_tag
    taken = tags.numbered(500_003)

    def look(barn, keys):
        found = looked(barn, keys)
        if taken in keys and not Blanket.objects.filter(barn=barnful.barn, tag=taken).exists():
            make.BlanketFactory(barn=barnful.barn, tag=taken)
        return found

    monkeypatch.setattr(import_blankets.queries, "blankets_by_tag", look)
    go_on(run, seconds=None)
    fates = dict(run.lines.filter(number__gt=1).values_list("number", "fate"))
    assert fates == {number: LineFate.REFUSED if number == 5 else LineFate.ADDED for number in range(2, 8)}


def test_the_command_refuses_what_is_not_confirmed(barnful: Cast) -> None:
    table = Table((Line(1, ("Kind",)), Line(2, ("Cooler",))))
    sent = domain.Sent("short.csv", "0" * 64, barnful.manager.key)
    run = domain.begin(table, what=ImportWhat.BLANKETS, sent=sent, actor=Actor(barnful.manager))
    domain.stage(run, table)
    for number, words in ((run.pk, "not confirmed"), (0, "There is no list 0")):
        with pytest.raises(CommandError, match=words) as caught:
            call_command("run_import", str(number))
        assert caught.value.returncode == 2
