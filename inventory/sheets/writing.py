"""Lists as files to download: CSV that any spreadsheet program opens, and Excel workbooks."""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Final

from inventory.sheets.harmless import guarded

MARK: Final = "\ufeff"
"""Tells spreadsheet programs that the letters are UTF-8."""

CONTENT_TYPES: Final = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
NO_TEXT: Final = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
WIDEST: Final = 40


def write(kind: str, title: str, rows: Iterable[Sequence[str]]) -> bytes:
    """kind: csv or xlsx. Cells that a program would take for a formula are made harmless."""
    cells = [[guarded(NO_TEXT.sub(" ", cell)) for cell in row] for row in rows]
    return as_csv(cells) if kind == "csv" else as_workbook(title, cells)


def as_csv(rows: Iterable[Sequence[str]]) -> bytes:
    out = io.StringIO(newline="")
    out.write(MARK)
    csv.writer(out).writerows(rows)
    return out.getvalue().encode()


def as_workbook(title: str, rows: Sequence[Sequence[str]]) -> bytes:
    """Every cell is text, so that 6'6 or a tag stays what it is; the headings stay in sight."""
    from openpyxl import Workbook
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    book = Workbook(write_only=True)
    sheet = book.create_sheet(title)
    sheet.freeze_panes = "A2"
    for place, heading in enumerate(rows[0] if rows else (), start=1):
        sheet.column_dimensions[get_column_letter(place)].width = min(WIDEST, max(12, len(heading) + 2))
    for number, row in enumerate(rows):
        sheet.append([_cell(sheet, text, Font(bold=True) if number == 0 else None) for text in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _cell(sheet: object, text: str, font: object) -> object:
    from openpyxl.cell import WriteOnlyCell

    cell = WriteOnlyCell(sheet, value=text)  # type: ignore[arg-type]
    cell.data_type = "s"
    if font:
        cell.font = font  # type: ignore[assignment]
    return cell
