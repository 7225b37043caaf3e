"""A workbook's parts before anything opens them: how many, how large, and what is in them.

An .xlsx file is a zip of XML. Its directory is believed only as far as a streaming look into each part confirms it;
that look holds one piece of a part at a time, so a small file that claims or unpacks to a huge one is refused in
bounded memory.
"""

import re
import struct
import zipfile
import zlib
from collections.abc import Iterator
from typing import IO, Final
from xml.etree import ElementTree
from xml.parsers import expat

from django.utils.translation import gettext as _

from inventory.sheets.table import NotASheet

MOST_PARTS: Final = 1000
MOST_DIRECTORY: Final = 200_000
MOST_UNPACKED: Final = 60_000_000
"""20,000 lines of 30 columns take about 40 MB of XML."""
MOST_SMALL: Final = 1_000_000
"""Formats, names and the like: openpyxl builds an object for each."""
MOST_STRINGS: Final = 20_000_000
MOST_CELLS: Final = 2_000_000
MOST_IN_ROW: Final = 16_384
"""The columns that a sheet can have."""
MOST_TEXT: Final = 32_767
"""The characters that a cell can have."""
MOST_ROWS: Final = 1_048_576
MOST_DEEP: Final = 40
PIECE: Final = 64 * 1024
LONGEST_MARK: Final = 16 * PIECE
"""Bytes without an element beginning or ending, or text: no more are held waiting for the end of one mark."""
FAULTS: Final = (zipfile.BadZipFile, zlib.error, struct.error, EOFError, OSError, ValueError, LookupError, RuntimeError)
"""What the zip library raises at damaged files."""
PLACE: Final = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")

END: Final = b"PK\x05\x06"
END_64: Final = (b"PK\x06\x06", b"PK\x06\x07")
END_BYTES: Final = 22
LONGEST_TAIL: Final = END_BYTES + 65_535

SHEETS: Final = "xl/worksheets/"
STRINGS: Final = "xl/sharedStrings.xml"
TYPES: Final = "[Content_Types].xml"
BOOK: Final = "xl/workbook.xml"
LINKS: Final = "xl/_rels/workbook.xml.rels"
NEEDED: Final = (TYPES, BOOK)
PLACES: Final = {"sheet.main+xml": f"/{BOOK}", "sharedStrings+xml": f"/{STRINGS}"}
SHEET: Final = re.compile(r"worksheets/[^/]+")
READ: Final = (
    TYPES,
    "_rels/",
    "docProps/",
    BOOK,
    "xl/_rels/",
    "xl/styles.xml",
    "xl/theme/",
    STRINGS,
    SHEETS,
)
"""Parts that openpyxl may open; pictures, drawings and comments are never looked at."""
REFUSED: Final = (
    ("xl/vbaProject", "macros"),
    ("xl/macrosheets/", "macros"),
    ("xl/externalLinks/", "links"),
    ("xl/connections.xml", "links"),
    ("xl/queryTables/", "links"),
    ("xl/chartsheets/", "files"),
    ("xl/embeddings/", "files"),
    ("xl/activeX/", "files"),
)


def look_through(sent: IO[bytes]) -> None:
    """Raises NotASheet for what is no plain workbook, or too large a one."""
    _look_at_end(sent)
    try:
        with zipfile.ZipFile(sent) as parts:
            _look_at_directory(parts)
            for part in parts.infolist():
                if part.filename.startswith(READ) and not part.is_dir():
                    _look_into(parts, part)
            _look_at_places(parts)
    except FAULTS as error:
        raise NotASheet(_damaged()) from error
    finally:
        sent.seek(0)


def _look_at_end(sent: IO[bytes]) -> None:
    """The directory's own size, before the zip library reads all of it."""
    size = sent.seek(0, 2)
    sent.seek(max(0, size - LONGEST_TAIL))
    tail = sent.read()
    place = tail.rfind(END)
    if place < 0 or len(tail) - place < END_BYTES:
        raise NotASheet(_damaged())
    entries, directory = struct.unpack_from("<HI", tail, place + 10)
    if entries > MOST_PARTS or directory > MOST_DIRECTORY or any(mark in tail for mark in END_64):
        raise NotASheet(_("This file has more parts than any list. Save it once more as a new workbook, or as CSV."))


def _look_at_directory(parts: zipfile.ZipFile) -> None:
    names = parts.namelist()
    if "mimetype" in names and "content.xml" in names:
        raise NotASheet(_("This is an OpenDocument sheet. Save it as Excel workbook (.xlsx) or as CSV."))
    if not set(NEEDED) <= set(names):
        raise NotASheet(_("This is no spreadsheet that we can read. Send an Excel workbook (.xlsx) or a CSV file."))
    if len(set(names)) < len(names):
        raise NotASheet(_damaged())
    _refuse_kinds(names)
    if any(part.flag_bits & 1 for part in parts.infolist()):
        raise NotASheet(locked())
    if sum(part.file_size for part in parts.infolist() if part.filename.startswith(READ)) > MOST_UNPACKED:
        raise NotASheet(_too_large())


def _refuse_kinds(names: list[str]) -> None:
    sentences = {
        "macros": _("This workbook holds macros. Save it as a plain workbook (.xlsx) or as CSV."),
        "links": _("This workbook takes values from other files. Copy the values into a new workbook, or save as CSV."),
        "files": _("This workbook holds other files. Copy the list into a new workbook, or save it as CSV."),
    }
    for start, kind in REFUSED:
        if any(name.startswith(start) for name in names):
            raise NotASheet(sentences[kind])


def _look_at_places(parts: zipfile.ZipFile) -> None:
    """The two parts that name others: they must name those that were looked into."""
    for element in ElementTree.fromstring(parts.read(TYPES)).iter():  # noqa: S314  entities were refused
        for kind, place in PLACES.items():
            if kind in element.get("ContentType", "") and element.get("PartName", place) != place:
                raise NotASheet(_damaged())
    if LINKS not in parts.namelist():
        raise NotASheet(_damaged())
    for element in ElementTree.fromstring(parts.read(LINKS)).iter():  # noqa: S314  entities were refused
        target = element.get("Target", "").removeprefix("/xl/")
        kind = element.get("Type", "").rpartition("/")[2].lower()
        if kind == "chartsheet" or (kind == "worksheet" and not SHEET.fullmatch(target)):
            raise NotASheet(_damaged())


def _look_into(parts: zipfile.ZipFile, part: zipfile.ZipInfo) -> None:
    most = {STRINGS: MOST_STRINGS}.get(part.filename, MOST_SMALL)
    look = _Look(part.filename)
    if part.filename.startswith(SHEETS) and "/" not in part.filename.removeprefix(SHEETS):
        most = MOST_UNPACKED
    size = 0
    for piece in _pieces(parts, part):
        size += len(piece)
        if size > min(most, part.file_size):
            raise NotASheet(_too_large())
        look.feed(piece)
    look.end()


def _pieces(parts: zipfile.ZipFile, part: zipfile.ZipInfo) -> Iterator[bytes]:
    with parts.open(part) as stream:
        while piece := stream.read(PIECE):
            yield piece


class _Look:
    """Goes through one part's XML without keeping it: no entities, no endless rows, texts or depths."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.deep = self.cells = self.in_row = self.text = self.waiting = 0
        self.where = ""
        self.formula: str | None = None
        self.has_value = self.in_value = False
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._stop
        self.parser.CharacterDataHandler = self._characters
        self.parser.StartDoctypeDeclHandler = self._doctype

    def feed(self, piece: bytes) -> None:
        self.waiting += len(piece)
        if self.waiting > LONGEST_MARK:
            raise NotASheet(_damaged())
        try:
            self.parser.Parse(piece)
        except expat.ExpatError as error:
            raise NotASheet(_damaged()) from error

    def end(self) -> None:
        try:
            self.parser.Parse(b"", True)  # noqa: FBT003  expat takes no names
        except expat.ExpatError as error:
            raise NotASheet(_damaged()) from error

    def _doctype(self, *_told: object) -> None:
        raise NotASheet(_damaged())

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self.deep += 1
        self.text = self.waiting = 0
        if self.deep > MOST_DEEP:
            raise NotASheet(_damaged())
        tag = name.rpartition(" ")[2]
        if tag == "row":
            self._row(attributes.get("r", ""))
        elif tag in {"c", "si"}:
            self._cell(attributes.get("r", ""))
            # An empty text is a result; an empty figure is none.
            self.has_value = attributes.get("t") == "str"
        elif tag == "f":
            self.formula = self.where
        self.in_value = tag in {"v", "t"}

    def _row(self, number: str) -> None:
        self.in_row = 0
        if number and not (number.isascii() and number.isdigit() and len(number) < 8 and int(number) <= MOST_ROWS):
            raise NotASheet(_damaged())

    def _cell(self, where: str) -> None:
        self.cells += 1
        self.in_row += 1
        self.where, self.formula = where, None
        if self.cells > MOST_CELLS or (self.in_row > MOST_IN_ROW and self.name.startswith(SHEETS)):
            raise NotASheet(_too_large())
        if where and not PLACE.fullmatch(where):
            raise NotASheet(_damaged())

    def _stop(self, name: str) -> None:
        self.deep -= 1
        if name.rpartition(" ")[2] == "c" and self.formula is not None and not self.has_value:
            raise NotASheet(
                _(
                    "Cell %(cell)s holds a formula whose result is not in the file. Open it in a spreadsheet program, "
                    "save it there and send it again, or save it as CSV."
                )
                % {"cell": self.formula or "?"}
            )

    def _characters(self, text: str) -> None:
        self.waiting = 0
        self.text += len(text)
        self.has_value = self.has_value or self.in_value
        if self.text > MOST_TEXT:
            raise NotASheet(_("A cell (%(cell)s) holds more text than a cell can.") % {"cell": self.where or self.name})


def locked() -> str:
    return _(
        "This file is locked with a password, or it is an old kind of workbook (.xls). "
        "Save it as .xlsx without a password, or as CSV."
    )


def _damaged() -> str:
    return _("This workbook is damaged or not complete. Save it once more, or as CSV.")


def _too_large() -> str:
    return _(
        "This workbook is larger unpacked than any barn's list. Copy the list into a new workbook, or save it as CSV."
    )
