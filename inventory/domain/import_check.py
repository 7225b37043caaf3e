"""What a staged line says, what is wrong with it, and what would become of it."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final, Protocol

from django.core.exceptions import ValidationError
from django.core.serializers.json import DjangoJSONEncoder
from django.db.models import Model
from django.utils.translation import gettext as _

from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.barns.sentences import reword
from inventory.columns import headings
from inventory.columns.base import LONGEST_WORD, BadCell, Choices, Column, Question, Reading, plain
from inventory.domain import import_blankets, import_horses
from inventory.domain.import_blankets import Change
from inventory.enums import ImportWhat, LineFate
from inventory.models import ImportLine, ImportRun
from inventory.queries import imports as queries

Fault = tuple[int | None, str, str]


class Kind(Protocol):
    """What a list of horses or of blankets does in its own way."""

    def key(self, values: Mapping[str, Any]) -> str: ...
    def existing(self, barn: Barn, keys: Sequence[str], *, lock: bool) -> dict[str, Any]: ...
    def complete(
        self, given: Mapping[str, Any], reading: Reading, record: Any
    ) -> tuple[dict[str, Any], dict[str, str]]: ...
    def validate(self, barn: Barn, values: Mapping[str, Any], record: Any) -> None: ...
    def changes(self, record: Any, values: Mapping[str, Any], reading: Reading) -> dict[str, list[Any]]: ...
    def add(self, run: ImportRun, all_values: Sequence[Mapping[str, Any]], actor: Actor) -> Sequence[Model]: ...
    def change(self, run: ImportRun, changed: Sequence[Change], actor: Actor) -> None: ...
    def twice(self, label: str, number: int) -> str: ...
    def known_already(self, label: str) -> str: ...


KINDS: Final[Mapping[str, Kind]] = {
    ImportWhat.BLANKETS: import_blankets.KIND,
    ImportWhat.HORSES: import_horses.KIND,
}


@dataclass
class Row:
    """A line as read."""

    line: ImportLine
    fate: str = LineFate.FAULTY
    values: dict[str, Any] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    changes: dict[str, list[Any]] = field(default_factory=dict)
    label: str = ""
    record: Model | None = None


def choices_of(run: ImportRun) -> Choices:
    told = {name: value for name, value in run.choices.items() if name in Choices.__dataclass_fields__}
    return Choices(**{**told, "as_of": date.fromisoformat(told["as_of"])})


class Check:
    """Reads lines of one run against the barn as it stands now; what a line names is asked for a chunk at a time."""

    def __init__(self, run: ImportRun) -> None:
        self.run = run
        self.kind = KINDS[run.what]
        self.reading = queries.reading(run.barn, run.what, choices_of(run))
        columns = headings.columns(run.what)
        self.columns = [(told["place"], columns[told["field"]]) for told in run.columns if told["field"]]
        self.places = {column.name: place for place, column in self.columns}
        self.heading_cells = [told["heading"] for told in run.columns]

    def rows(self, lines: Sequence[ImportLine], *, to_write: bool = False) -> list[Row]:
        """to_write: their turn has come; records are locked, and no line is compared with the lines before it again."""
        rows = [self._read(line) for line in lines]
        labels = [row.label for row in rows if row.label]
        existing = self.kind.existing(self.run.barn, labels, lock=to_write)
        seen = {} if to_write else queries.labels_before(self.run, lines[0].number, labels)
        for row in rows:
            self._judge(row, existing.get(row.label), None if to_write else seen.get(row.label))
            if row.label:
                seen.setdefault(row.label, row.line.number)
        return rows

    def _read(self, line: ImportLine) -> Row:
        row = Row(line)
        for place, column in self.columns:
            text = line.cells[place] if place < len(line.cells) else ""
            if text:
                self._read_cell(row, place, column, text)
        row.label = self.kind.key(row.values)
        return row

    def _read_cell(self, row: Row, place: int, column: Column, text: str) -> None:
        try:
            value = column.cell(text, self.reading)
        except Question as question:
            word = plain(text)
            row.faults.append((place, str(question), word if column.asked and len(word) <= LONGEST_WORD else ""))
        except BadCell as bad:
            row.faults.append((place, str(bad), ""))
        else:
            if value is not None:
                row.values[column.name] = value

    def _judge(self, row: Row, record: Model | None, before: int | None) -> None:
        twin = row.line.twin_of
        if self._repeats_headings(row.line) or (twin and (row.label or self.reading.choices.twins == "skip")):
            row.fate, row.faults = LineFate.SAME, []
            return
        if twin and self.reading.choices.twins == "ask":
            row.faults.append(
                (None, _("The same as line %(line)d. Choose above what that means.") % {"line": twin}, "")
            )
        if before is not None:
            row.faults.append((self._key_place(), self.kind.twice(row.label, before), ""))
        if record is not None and self.reading.choices.existing == "refuse":
            row.faults.append((self._key_place(), self.kind.known_already(row.label), ""))
        self._complete(row, record)
        if row.faults:
            return
        row.record = record
        row.fate = LineFate.NEW
        if record is not None:
            row.changes = through_json(self.kind.changes(record, row.values, self.reading))
            row.fate = LineFate.CHANGE if row.changes else LineFate.SAME

    def _complete(self, row: Row, record: Model | None) -> None:
        asked = {place for place, _sentence, _word in row.faults}
        row.values, faults = self.kind.complete(row.values, self.reading, record)
        for name, sentence in faults.items():
            if self.places.get(name) not in asked or name not in self.places:
                row.faults.append((self.places.get(name), sentence, ""))
        if row.faults:
            return
        try:
            self.kind.validate(self.run.barn, row.values, record)
        except ValidationError as error:
            reword(error)
            for name, sentences in error.message_dict.items():
                place = self.places.get(name, self.places.get("size") if name.startswith("size_") else None)
                row.faults.append((place, " ".join(sentences), ""))

    def _key_place(self) -> int | None:
        return self.places.get("tag", self.places.get("name"))

    def _repeats_headings(self, line: ImportLine) -> bool:
        """Lists that were printed on several pages have their headings again and again."""
        return [cell for cell in line.cells if cell] == [cell for cell in self.heading_cells if cell]


def through_json(value: Any) -> Any:
    return json.loads(json.dumps(value, cls=DjangoJSONEncoder))
