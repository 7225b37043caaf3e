"""What every reader of a spreadsheet answers: numbered lines of text cells, or one sentence why not."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from django.utils.translation import gettext as _

from inventory.sheets.harmless import whole

MOST_BYTES: Final = 10 * 1024 * 1024
MOST_LINES: Final = 20_000
MOST_COLUMNS: Final = 100
MOST_CELL: Final = 2000
"""Characters in a cell; the longest text that a barn keeps of a horse has 300."""

LETTERS: Final = 26


class NotASheet(Exception):
    """Why a file cannot be read as a list, in a sentence."""


@dataclass(frozen=True)
class Line:
    """number: where it stands in the file, from 1. cells: as text, without blanks around, none at the end empty."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """Every line that holds something. sheet: the name of the sheet that was read, where the file has several."""

    lines: tuple[Line, ...]
    sheet: str = ""


def gather(rows: Iterator[tuple[int, list[str]]], sheet: str = "") -> Table:
    """The table of numbered rows. Raises NotASheet where it is longer, wider or fuller than any barn's list."""
    lines = tuple(line for number, cells in rows if (line := _line(number, cells)).cells)
    if not lines:
        raise NotASheet(_("There is nothing in this file."))
    return Table(lines, sheet)


def _line(number: int, cells: list[str]) -> Line:
    kept = [whole(cell.strip()) for cell in cells]
    while kept and not kept[-1]:
        kept.pop()
    if len(kept) > MOST_COLUMNS:
        raise NotASheet(
            _("Line %(line)d has %(columns)d columns; a list has at most %(most)d.")
            % {"line": number, "columns": len(kept), "most": MOST_COLUMNS}
        )
    for place, cell in enumerate(kept):
        _look_at(number, place, cell)
    return Line(number, tuple(kept))


def _look_at(number: int, place: int, cell: str) -> None:
    where = {"line": number, "column": letter(place), "most": MOST_CELL, "long": len(cell)}
    if len(cell) > MOST_CELL:
        raise NotASheet(
            _("Line %(line)d, column %(column)s holds %(long)d characters; at most %(most)d are read.") % where
        )
    if not cell.isprintable() and any(character < " " and character not in "\t\r\n" for character in cell):
        raise NotASheet(_("Line %(line)d, column %(column)s holds characters that are no text.") % where)


def counted(rows: Iterator[tuple[int, list[str]]]) -> Iterator[tuple[int, list[str]]]:
    """The same rows, stopped where more lines hold something than a barn's list has."""
    full = 0
    for number, cells in rows:
        full += any(cells)
        if full > MOST_LINES:
            raise NotASheet(
                _("This file has more than %(most)s lines. Bring it in in parts.") % {"most": f"{MOST_LINES:,}"}
            )
        yield number, cells


def letter(place: int) -> str:
    """A column's letters as spreadsheets show them: 0 is A, 26 is AA."""
    letters, place = "", place + 1
    while place:
        place, rest = divmod(place - 1, LETTERS)
        letters = chr(ord("A") + rest) + letters
    return letters
