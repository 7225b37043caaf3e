"""A spreadsheet's way in: staged, its columns named, looked through, confirmed, written in chunks, or dropped.

Nothing of a list reaches horses or blankets before it is confirmed. Staging, looking through and writing each go on by
chunks, a transaction each, from wherever they were: nobody else waits for a whole list.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import access, journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Units
from inventory.columns import headings
from inventory.domain.import_check import Check
from inventory.domain.import_columns import asking, locked, told_columns
from inventory.domain.import_write import save_lines, write
from inventory.enums import ImportStep, LineFate
from inventory.models import ImportLine, ImportRun
from inventory.queries import imports as queries
from inventory.sheets.table import Line, Table

CHUNK: Final = 500
"""Lines staged, looked through or forgotten in one transaction."""
WRITTEN: Final = 100
"""Lines written in one: on SQLite all other writing waits for it, on PostgreSQL whoever needs the same horse."""
KEPT: Final = timedelta(days=30)
"""How long the lines of a list are kept after it was sent; what it brought in stands in the journal."""


@dataclass(frozen=True)
class Sent:
    """A file as it came: its name, and its digest, by which the same file is known again."""

    name: str
    sha: str
    once: UUID


@transaction.atomic
def begin(table: Table, *, what: str, sent: Sent, actor: Actor) -> ImportRun:
    """A run without lines yet; stage() writes them."""
    taught = queries.headings_taught(actor.barn, what)
    heading = headings.find(table.lines, what, taught)
    run = ImportRun(
        barn=actor.barn,
        person=actor.person,
        once=sent.once,
        what=what,
        file_name=sent.name[-120:],
        sha=sent.sha,
        columns=told_columns(table.lines, heading, what, taught),
        choices={
            "heading": heading,
            "sheet": table.sheet,
            "as_of": actor.at.astimezone(actor.barn.zone).date().isoformat(),
            "mass_unit": "lb" if actor.barn.units == Units.US else "kg",
        },
        line_count=sum(line.number > heading for line in table.lines),
        begun_at=actor.at,
    )
    run.save(force_insert=True)
    journal.write(
        actor, "import_sent", about=[actor.barn], after={"file": run.file_name, "what": what, "count": run.line_count}
    )
    return run


def stage(run: ImportRun, table: Table) -> None:
    """Writes the lines that are not there yet. The same file sent again goes on where staging broke off."""
    if run.step != ImportStep.STAGING:
        return
    first: dict[tuple[str, ...], int] = {}
    for start in range(0, len(table.lines), CHUNK):
        lines = table.lines[start : start + CHUNK]
        ImportLine.objects.bulk_create(
            (
                ImportLine(barn=run.barn, run=run, number=line.number, cells=list(line.cells), twin_of=twin)
                for line in lines
                for twin in [_twin(line, first)]
            ),
            ignore_conflicts=True,
        )
    run.step = ImportStep.ASKING
    run.save(update_fields=["step"])


def _twin(line: Line, first: dict[tuple[str, ...], int]) -> int | None:
    number = first.setdefault(line.cells, line.number)
    return number if number != line.number else None


def check_chunk(run: ImportRun) -> ImportRun:
    """Looks through the next lines and notes what is wrong with each and what would become of it.

    The look takes longer than the writing down and keeps nobody waiting; where the list was looked at otherwise
    meanwhile, it is not written down.
    """
    run = ImportRun.objects.select_related("barn").get(pk=run.pk)
    lines = list(queries.lines(run).filter(number__gt=run.checked_to)[:CHUNK])
    if run.step != ImportStep.ASKING or not lines:
        return run
    for row in Check(run).rows(lines):
        row.line.fate, row.line.faults = row.fate, row.faults
        row.line.changes, row.line.label = row.changes, row.label
    with transaction.atomic():
        now = locked(run)
        if (now.step, now.checked_to, now.columns, now.choices) == (run.step, run.checked_to, run.columns, run.choices):
            save_lines(lines, ["fate", "faults", "changes", "label"])
            now.checked_to = lines[-1].number
            now.save(update_fields=["checked_to"])
    return now


def is_checked(run: ImportRun) -> bool:
    return not queries.lines(run).filter(number__gt=run.checked_to).exists()


@transaction.atomic
def confirm(run: ImportRun, *, good: int, actor: Actor) -> ImportRun:
    """Lets the good lines be written. good: how many the person saw; another number is refused."""
    run = asking(run)
    if any(told["field"] is None for told in run.columns):
        raise Refused(_("Some columns are not named yet: say what they are, or leave them out."))
    if not is_checked(run):
        raise Refused(_("The list is still being looked through."))
    counts = queries.counts(run)
    waiting = sum(counts[fate] for fate in queries.WAITING)
    if not waiting:
        raise Refused(_("No line of this list can be brought in."))
    if waiting != good:
        raise Refused(_("The list was looked through again meanwhile. Look at it once more."))
    run.step, run.confirmed_at, run.confirmed_by = ImportStep.WRITING, actor.at, actor.person
    run.save(update_fields=["step", "confirmed_at", "confirmed_by"])
    journal.write(
        Actor(actor.person, actor.device, now=actor.now, import_key=run.key),
        "import_confirmed",
        about=[run.barn],
        after={"file": run.file_name, "count": waiting, "faulty": counts[LineFate.FAULTY]},
    )
    return run


@transaction.atomic
def drop(run: ImportRun, *, actor: Actor) -> ImportRun:
    """A list that is not wanted after all; its lines are forgotten by forget_lines()."""
    run = locked(run)
    if run.step not in {ImportStep.STAGING, ImportStep.ASKING}:
        raise Refused(_("This list is no longer to be looked through: %(step)s.") % {"step": run.get_step_display()})
    run.step = ImportStep.DROPPED
    run.save(update_fields=["step"])
    journal.write(actor, "import_dropped", about=[run.barn], after={"file": run.file_name})
    return run


def forget_lines(run: ImportRun) -> None:
    while keys := list(run.lines.order_by().values_list("pk", flat=True)[:CHUNK]):
        ImportLine.objects.filter(pk__in=keys).delete()


def forget_old(barn: Barn, now: datetime) -> None:
    """Lines of lists that are finished, dropped or left lying for a month."""
    old = ImportRun.objects.filter(barn=barn, begun_at__lt=now - KEPT).exclude(step=ImportStep.WRITING)
    for run in old.filter(lines__isnull=False).distinct():
        forget_lines(run)
    old.filter(step__in=[ImportStep.STAGING, ImportStep.ASKING]).update(step=ImportStep.DROPPED)


@transaction.atomic
def write_chunk(run: ImportRun, *, now: datetime) -> ImportRun:
    """Writes the next lines of a confirmed list, each once, in the name of whoever confirmed it; the last ends it."""
    run = locked(run)
    if run.step != ImportStep.WRITING or run.confirmed_by is None:
        return run
    if not access.may_any(run.confirmed_by, "add", ImportRun):
        raise Refused(_("%(person)s is no manager any more.") % {"person": run.confirmed_by})
    actor = Actor(run.confirmed_by, now=now, import_key=run.key)
    lines = list(queries.lines(run).filter(fate__in=queries.WAITING)[:WRITTEN])
    if lines:
        write(run, lines, actor)
    if len(lines) < WRITTEN:
        _finish(run, actor)
    return run


def _finish(run: ImportRun, actor: Actor) -> None:
    counts = queries.counts(run)
    outcome = {str(fate): counts[fate] for fate in (*queries.DONE, LineFate.SAME, LineFate.FAULTY)}
    run.step, run.finished_at = ImportStep.FINISHED, actor.at
    run.choices = {**run.choices, "outcome": outcome}
    run.save(update_fields=["step", "finished_at", "choices"])
    journal.write(actor, "import_finished", about=[run.barn], after={"file": run.file_name, **outcome})
