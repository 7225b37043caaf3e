"""Tables as text: commas, semicolons or tabs; UTF-8, UTF-16 or the one-byte letters of older programs."""

import csv
import io
from collections.abc import Iterator
from typing import Final

from django.utils.translation import gettext as _

from inventory.sheets.table import NotASheet, Table, counted, gather

BOMS: Final = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
DELIMITERS: Final = (",", ";", "\t", "|")
LOOKED_AT: Final = 30
"""Lines from which the delimiter is told."""


def read(raw: bytes) -> Table:
    """Raises NotASheet."""
    text = decode(raw)
    lines = text.splitlines(keepends=True)
    delimiter, skipped = _announced(lines)
    rows = _rows(text, delimiter or _delimiter(lines[skipped:]), skipped)
    return gather(counted(rows))


def decode(raw: bytes) -> str:
    encoding = next((name for mark, name in BOMS if raw.startswith(mark)), None) or _unmarked(raw)
    try:
        return raw.decode(encoding)
    except UnicodeDecodeError:
        pass
    if encoding != "utf-8":
        raise NotASheet(_("The letters of this file are damaged. Save it once more, as CSV in UTF-8."))
    try:
        return raw.decode("cp1252")
    except UnicodeDecodeError:
        return raw.decode("latin-1")


def _unmarked(raw: bytes) -> str:
    """Text of many Latin letters in UTF-16 has a nought in every second place; other noughts are no text."""
    start = raw[:2000]
    even, odd = start[::2].count(0), start[1::2].count(0)
    if max(even, odd) < len(start) // 4:
        return "utf-8"
    return "utf-16-le" if odd > even else "utf-16-be"


def _announced(lines: list[str]) -> tuple[str, int]:
    """Some programs name the delimiter in a first line of its own."""
    first = lines[0].strip() if lines else ""
    if first.lower().startswith("sep=") and len(first) == 5:
        return first[4], 1
    return ("\t", 1) if first.lower() == "sep=" else ("", 0)


def _delimiter(lines: list[str]) -> str:
    """The one that cuts the most of the first lines into the same number of cells; a comma where none cuts."""
    start = "".join(lines[:LOOKED_AT])
    return max(DELIMITERS, key=lambda delimiter: _evenness(start, delimiter))


def _evenness(text: str, delimiter: str) -> tuple[int, int]:
    try:
        widths = [len(row) for row in csv.reader(io.StringIO(text), delimiter=delimiter) if any(row)]
    except csv.Error:
        return 0, 0
    wide = [width for width in widths if width > 1]
    if not wide:
        return 0, 0
    usual = max(set(wide), key=lambda width: (wide.count(width), width))
    return wide.count(usual), usual


def _rows(text: str, delimiter: str, skipped: int) -> Iterator[tuple[int, list[str]]]:
    """Each row by the line on which it begins."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    begins = 1
    try:
        for row in reader:
            if begins > skipped:
                yield begins, row
            begins = reader.line_num + 1
    except csv.Error as error:
        told = {"line": begins}
        if "field limit" in str(error):
            raise NotASheet(
                _("Line %(line)d: a cell does not end. Look for a quotation mark that opens and never closes.") % told
            ) from error
        raise NotASheet(_("Line %(line)d cannot be read as a line of a table.") % told) from error
