"""Spreadsheets for the tests: as people keep them, and as nobody should send them. Everything in them is invented."""

import csv
import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from openpyxl import Workbook

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def text(rows: Sequence[Sequence[Any]], delimiter: str = ",") -> str:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter).writerows(rows)
    return out.getvalue()


def csv_file(rows: Sequence[Sequence[Any]], *, delimiter: str = ",", encoding: str = "utf-8", name: str = "list.csv"):
    return SimpleUploadedFile(name, text(rows, delimiter).encode(encoding), "text/csv")


def book(rows: Sequence[Sequence[Any]], change: Callable[[Any], None] | None = None) -> bytes:
    workbook = Workbook()
    sheet = workbook.active
    for row in rows:
        sheet.append(list(row))
    if change:
        change(workbook)
    out = io.BytesIO()
    workbook.save(out)
    return out.getvalue()


def xlsx_file(rows: Sequence[Sequence[Any]], change: Callable[[Any], None] | None = None, name: str = "list.xlsx"):
    return SimpleUploadedFile(name, book(rows, change), XLSX)


def with_parts(raw: bytes, parts: Mapping[str, bytes | None]) -> bytes:
    """The workbook with parts added, replaced, or taken out."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            if part.filename not in parts:
                new.writestr(part, old.read(part))
        for name, content in parts.items():
            if content is not None:
                new.writestr(name, content)
    return out.getvalue()


def part(raw: bytes, name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(raw)) as parts:
        return parts.read(name)


def upload(raw: bytes, name: str = "list.xlsx") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, raw, XLSX)
