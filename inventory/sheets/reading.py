"""A file that somebody sent, as a table: told by what is in it, not by its name."""

from typing import IO, Final

from django.utils.translation import gettext as _

from inventory.sheets import parts, text, workbook
from inventory.sheets.table import MOST_BYTES, NotASheet, Table

ZIP: Final = b"PK\x03\x04"
OLD: Final = b"\xd0\xcf\x11\xe0"
"""Compound files: .xls, and workbooks locked with a password."""

OTHERS: Final = (
    b"%PDF",
    b"\x89PNG",
    b"\xff\xd8\xff",
    b"GIF8",
    b"{\\rtf",
    b"<!DOCTYPE",
    b"<!doctype",
    b"<html",
    b"<?xml",
    b"PK",
)


def read(sent: IO[bytes]) -> Table:
    """Raises NotASheet with a sentence."""
    size = sent.seek(0, 2)
    sent.seek(0)
    if size > MOST_BYTES:
        raise NotASheet(_("This file is larger than %(most)d MB.") % {"most": MOST_BYTES // 1024**2})
    start = sent.read(512)
    sent.seek(0)
    if start.startswith(ZIP):
        return workbook.read(sent)
    if start.startswith(OLD):
        raise NotASheet(parts.locked())
    if not start.strip() or start.lstrip().startswith(OTHERS):
        raise NotASheet(_("This is no list that we can read. Send an Excel workbook (.xlsx) or a CSV file."))
    return text.read(sent.read())
