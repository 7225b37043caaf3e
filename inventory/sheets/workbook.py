"""Excel workbooks (.xlsx): the first sheet that is shown and holds something; results of formulas, never formulas."""

import warnings
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import IO, Any, Final

from django.utils.translation import gettext as _

from inventory.sheets.parts import look_through
from inventory.sheets.table import MOST_COLUMNS, NotASheet, Table, counted, gather

MOST_SHEETS: Final = 50
LARGEST: Final = 1e15
"""Whole figures up to here are kept exactly."""
FAULTS: Final = (ValueError, TypeError, LookupError, SyntaxError, AttributeError, ArithmeticError, EOFError, OSError)
"""What the library raises at parts that say something else than they should."""


def read(sent: IO[bytes]) -> Table:
    """Raises NotASheet."""
    look_through(sent)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            return _read(sent)
        except FAULTS as error:
            raise NotASheet(_("This workbook cannot be read. Save it once more, or as CSV.")) from error


def _read(sent: IO[bytes]) -> Table:
    from openpyxl import load_workbook

    book = load_workbook(sent, read_only=True, data_only=True, keep_links=False)
    try:
        if len(book.worksheets) > MOST_SHEETS:
            raise NotASheet(_("This workbook has more than %(most)d sheets.") % {"most": MOST_SHEETS})
        for sheet in book.worksheets:
            if sheet.sheet_state == "visible" and _holds_something(sheet):
                name = sheet.title if len(book.worksheets) > 1 else ""
                return gather(counted(_rows(sheet)), name)
    finally:
        book.close()
    raise NotASheet(_("There is nothing in this file."))


def _holds_something(sheet: Any) -> bool:
    return any(any(cells) for _number, cells in _rows(sheet))


def _rows(sheet: Any) -> Iterator[tuple[int, list[str]]]:
    # What the file says of its own size is often wrong; without it, each row is as long as it is.
    sheet.reset_dimensions()
    for number, row in enumerate(sheet.iter_rows(values_only=True), start=1):
        full = max((place for place, value in enumerate(row) if value not in {None, ""}), default=-1)
        if full >= MOST_COLUMNS:
            yield number, [""] * full + ["…"]
        else:
            yield number, [as_text(value) for value in row[: full + 1]]


def as_text(value: Any) -> str:
    """A cell as a person would type it: days as 2026-11-25, whole figures without a point."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ", "minutes")
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < LARGEST else f"{value:.10g}"
    return value.isoformat() if isinstance(value, date | time) else str(value)
