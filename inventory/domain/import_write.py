"""A chunk of confirmed lines becomes horses or blankets. Each line is looked at again first: others went on working."""

from collections.abc import Sequence

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from barnrugs.barns.journal import Actor
from inventory.domain.import_check import Check, Kind, Row
from inventory.enums import LineFate
from inventory.models import ImportLine, ImportRun


def write(run: ImportRun, lines: Sequence[ImportLine], actor: Actor) -> None:
    """In the caller's transaction. A line that cannot be written any more is refused in a sentence; the rest go on."""
    check = Check(run)
    rows = check.rows(lines, to_write=True)
    for row in rows:
        _compare(row)
    _write(run, check.kind, [row for row in rows if row.fate in {LineFate.NEW, LineFate.CHANGE}], actor)
    for row in rows:
        row.line.fate, row.line.faults, row.line.label = row.fate, row.faults, row.label or row.line.label
        row.line.record_id = row.record.pk if row.record else None
    save_lines(lines, ["fate", "faults", "label", "record_id"])


def save_lines(lines: Sequence[ImportLine], fields: Sequence[str]) -> None:
    """These fields of lines that are there, in one statement; many times faster than bulk_update."""
    ImportLine.objects.bulk_create(lines, update_conflicts=True, unique_fields=["pk"], update_fields=fields)


def _compare(row: Row) -> None:
    """What was looked at and confirmed must still be so."""
    if row.fate == LineFate.FAULTY:
        row.fate = LineFate.REFUSED
    elif row.fate == LineFate.CHANGE and row.line.fate == LineFate.NEW:
        _refuse(row, _("Somebody else has added this meanwhile."))
    elif row.fate == LineFate.NEW and row.line.fate == LineFate.CHANGE:
        _refuse(row, _("What this line changes is not here any more."))
    elif row.fate == LineFate.CHANGE and row.changes != row.line.changes:
        _refuse(row, _("Somebody else has changed this meanwhile. Send the list again to see the difference."))


def _refuse(row: Row, sentence: str) -> None:
    row.fate = LineFate.REFUSED
    row.faults = [(None, sentence, "")]
    row.record = None


def _write(run: ImportRun, kind: Kind, rows: Sequence[Row], actor: Actor) -> None:
    """All at once; where the database refuses one of them, one by one."""
    try:
        with transaction.atomic():
            _write_together(run, kind, rows, actor)
    except IntegrityError:
        if len(rows) > 1:
            for row in rows:
                _as_in_the_database(row)
                _write(run, kind, [row], actor)
        else:
            _refuse(rows[0], _("Somebody else wrote the same just now."))


def _as_in_the_database(row: Row) -> None:
    """The write that was undone has set the new values on the record: a second one would take them for the old."""
    if row.record is not None and row.fate == LineFate.CHANGE:
        row.record.refresh_from_db()


def _write_together(run: ImportRun, kind: Kind, rows: Sequence[Row], actor: Actor) -> None:
    new = [row for row in rows if row.fate == LineFate.NEW]
    changed = [row for row in rows if row.fate == LineFate.CHANGE]
    records = kind.add(run, [row.values for row in new], actor)
    kind.change(run, [(row.record, row.values, list(row.changes)) for row in changed], actor)
    for row, record in zip(new, records, strict=True):
        row.record, row.label, row.fate = record, row.label or str(record), LineFate.ADDED
    for row in changed:
        row.fate = LineFate.CHANGED
