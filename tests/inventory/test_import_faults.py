"""Spreadsheets as people keep them are read; hostile ones are refused in a sentence, in bounded memory, nothing kept.

The zip records are those of PKWARE's APPNOTE, the workbook's parts those of ECMA-376, the risky first characters those
of OWASP's page on CSV injection (all from memory).
"""

import io
import random
import re
import struct
import subprocess
import sys
import uuid
import zipfile
from collections.abc import Callable
from contextlib import suppress
from datetime import date, datetime
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.styles import Font

from horses.enums import SizeSystem
from horses.sizes import read as read_size
from inventory.columns import headings, readers
from inventory.columns.base import BadCell, Choices, Question, Reading
from inventory.columns.words import KIND
from inventory.enums import Kind
from inventory.models import ImportLine, ImportRun
from inventory.sheets import reading, table
from inventory.sheets.harmless import guarded, whole
from inventory.sheets.table import NotASheet
from tests.harness import size
from tests.inventory import sheets
from tests.inventory.test_imports import send, url

HEAD = ["Tag", "Kind", "Size", "Fill"]
ROW = ["", "Turnout", "78", "200"]
PLAIN = sheets.book([HEAD, ROW])
LINKS = "xl/_rels/workbook.xml.rels"
SHEET = "xl/worksheets/sheet1.xml"
CHOICES = Reading(Choices(as_of=date(2026, 1, 15)))


def read(raw: bytes) -> table.Table:
    return reading.read(io.BytesIO(raw))


def cells(raw: bytes) -> list[tuple[str, ...]]:
    return [line.cells for line in read(raw).lines]


# As people keep them.


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-16-be"])
def test_text_in_any_common_shape_is_read(delimiter: str, encoding: str) -> None:
    rows = [["Nombre", "Dueño", "Talla"], ["Ejemplo Ñandú", "Señora Ü, la de siempre; sí", "6'6"], ["x", "", '78"']]
    raw = sheets.text(rows, delimiter).encode(encoding)
    assert cells(raw) == [tuple(row) for row in rows]


def test_a_first_line_that_names_the_delimiter_is_no_line() -> None:
    lines = read(b"sep=;\nKind;Size\nLiner;78\n").lines
    assert [(line.number, line.cells) for line in lines] == [(2, ("Kind", "Size")), (3, ("Liner", "78"))]


def test_inches_marks_and_cells_of_several_lines() -> None:
    raw = b'Kind,Size,Note\nLiner,78",plain\nLiner,6\'6"," two\nlines "\nSheet,75,\n'
    lines = read(raw).lines
    assert [line.number for line in lines] == [1, 2, 3, 5]
    assert [line.cells for line in lines[1:3]] == [("Liner", '78"', "plain"), ("Liner", "6'6\"", "two\nlines")]


def test_blank_lines_and_columns_at_the_end_are_nothing() -> None:
    rows = [[*HEAD, "", ""], [""] * 6, [*ROW, "", " "], *([[""] * 6] * 500)]
    for raw in (sheets.text(rows).encode(), sheets.book(rows)):
        assert [(line.number, line.cells) for line in read(raw).lines] == [(1, tuple(HEAD)), (3, tuple(ROW))]


def test_a_workbook_that_is_formatted_to_the_last_row() -> None:
    def colour_the_end(workbook) -> None:
        workbook.active.cell(1_048_576, 16_384).font = Font(bold=True)

    assert cells(sheets.book([HEAD, ROW], colour_the_end)) == [tuple(HEAD), tuple(ROW)]


def test_days_figures_and_ticks_of_a_workbook_are_text() -> None:
    row = [date(2025, 10, 4), datetime(2025, 10, 4, 13, 30), 78, 78.0, 198.1, 0.1 + 0.2, True, "0078", None]  # noqa: DTZ001
    assert cells(sheets.book([row]))[0] == (
        "2025-10-04", "2025-10-04 13:30", "78", "78", "198.1", "0.3", "yes", "0078",
    )  # fmt: skip


def test_merged_headings_under_a_title() -> None:
    """A title over all, "Size" merged over two columns, "Tag" merged over two lines."""

    def merge(workbook) -> None:
        for cells_merged in ("A1:D1", "A2:A3", "C2:D2"):
            workbook.active.merge_cells(cells_merged)

    rows = [
        ["Blankets of our barn, winter"],
        ["Tag", "Rug", "Size", "", "Fill"],
        ["", "type", "unit", "inches", "weight"],
        ["", "Liner", "inches", "78", "100"],
    ]
    lines = read(sheets.book(rows, merge)).lines
    heading = headings.find(lines, "blankets", {})
    assert heading in {2, 3}
    texts = headings.headings_of(lines[2].cells, lines[1].cells, "blankets", {})
    named = headings.assign(texts, "blankets", {})
    assert named == ["tag", "kind", "size_system", "size", "fill_g"]


def test_only_the_first_sheet_that_is_shown_and_holds_something_is_read() -> None:
    def more(workbook) -> None:
        workbook.active.title = "Hidden"
        workbook.active.sheet_state = "hidden"
        workbook.create_sheet("Empty")
        workbook.create_sheet("Rugs").append(["Kind", "Fill"])

    found = read(sheets.book([HEAD], more))
    assert (found.sheet, [line.cells for line in found.lines]) == ("Rugs", [("Kind", "Fill")])


def test_results_of_formulas_are_read() -> None:
    raw = sheets.book([HEAD, ["", "Turnout", "=70+8", "200"]])
    kept = re.sub(rb"<v ?/>|<v></v>", b"<v>78</v>", sheets.part(raw, SHEET))
    assert cells(sheets.with_parts(raw, {SHEET: kept}))[1] == ("", "Turnout", "78", "200")


@pytest.mark.parametrize(
    ("heading", "name"),
    [
        ("Rug Type", "kind"),
        ("FILL (g/m²)", "fill_g"),
        ("Relleno", "fill_g"),
        ("Dueño", "owner"),
        ("Talla", "size"),
        ("Última impermeabilización", "proofed_on"),
        ("  Shoulder   Gussets ", "gussets"),
        ("Colour and marks", "looks"),
        ("Saddle", None),
    ],
)
def test_headings_are_known_in_english_and_spanish(heading: str, name: str | None) -> None:
    assert headings.name_of(heading, "blankets", {}) == name


@pytest.mark.parametrize("what", ["horses", "blankets"])
def test_no_heading_names_two_columns(what: str) -> None:
    """A word that stands for two columns would silently go to the first."""
    said: dict[str, set[str]] = {}
    for column in headings.COLUMNS[what]:
        for heading in column.headings:
            said.setdefault(headings.plain(heading), set()).add(column.name)
    assert {word: names for word, names in said.items() if len(names) > 1} == {}
    assert {word for word, names in said.items() if headings.known(what)[word] not in names} == set()


# Cells.


@pytest.mark.parametrize(
    ("typed", "grams"),
    [("200", 200), ("200g", 200), ("200 G", 200), ("200 gsm", 200), ("200 g/m²", 200), ("0", 0), ("200.0", 200)],
)
def test_fills(typed: str, grams: int) -> None:
    assert readers.grams(typed, CHOICES) == grams


@pytest.mark.parametrize("typed", ["medium", "Heavy", "lite", "ligero", "warm"])
def test_a_word_for_a_fill_is_asked_not_guessed(typed: str) -> None:
    with pytest.raises(Question, match="how many grams"):
        readers.grams(typed, CHOICES)


@pytest.mark.parametrize("typed", ["200/100", "2000", "-100", "200 lb", "1e3", "two 100s"])
def test_what_is_no_fill(typed: str) -> None:
    with pytest.raises(BadCell):
        readers.grams(typed, CHOICES)


@pytest.mark.parametrize(
    ("typed", "system", "inches"),
    [
        ("78", "in", "78.0"),
        ("6'6", "in", "78.0"),
        ("6 ft 6 in", "in", "78.0"),
        ("198 cm", "in", "78.0"),
        ("198", "cm", "78.0"),
    ],
)
def test_sizes_in_the_three_manners(typed: str, system: str, inches: str) -> None:
    """1 inch is 2.54 cm (international yard and pound agreement, 1959): 198 cm are 77.95 in."""
    assert read_size(typed, SizeSystem(system)).inches == Decimal(inches)


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2025-10-04", date(2025, 10, 4)),
        ("2025-10-04 00:00", date(2025, 10, 4)),
        ("4 Oct 2025", date(2025, 10, 4)),
        ("October 4th, 2025", date(2025, 10, 4)),
        ("4 de octubre de 2025", date(2025, 10, 4)),
        ("04.10.2025", date(2025, 10, 4)),
        ("10/25/2025", date(2025, 10, 25)),
        ("25/10/2025", date(2025, 10, 25)),
        ("7/7/25", date(2025, 7, 7)),
    ],
)
def test_days(typed: str, day: date) -> None:
    assert readers.day(typed, CHOICES) == day


@pytest.mark.parametrize("typed", ["03/04/2025", "45000", "2025", "31.02.2025", "soon", "2025-13-01"])
def test_what_is_no_certain_day_is_a_fault(typed: str) -> None:
    with pytest.raises(BadCell):
        readers.day(typed, CHOICES)


def test_the_order_of_a_day_is_chosen() -> None:
    american = Reading(Choices(as_of=date(2026, 1, 1), date_order="month"))
    assert readers.day("03/04/2025", american) == date(2025, 3, 4)
    british = Reading(Choices(as_of=date(2026, 1, 1), date_order="day"))
    assert readers.day("03/04/2025", british) == date(2025, 4, 3)


@pytest.mark.parametrize(
    ("typed", "amount"),
    [("120", "120"), ("$1,200.50", "1200.5"), ("89,90 €", "89.9"), ("USD 80", "80"), ("1.234,00", "1234")],
)
def test_money(typed: str, amount: str) -> None:
    assert readers.money(typed, CHOICES) == Decimal(amount)


@pytest.mark.parametrize("typed", ["-5", "free", "1 2", "1,2,3", "12.345,678", "abc5"])
def test_what_is_no_money(typed: str) -> None:
    with pytest.raises(BadCell):
        readers.money(typed, CHOICES)


def test_mass_in_pounds_and_kilograms() -> None:
    """1 lb is 0.45359237 kg (same agreement)."""
    assert readers.mass("1100 lb", CHOICES) == 499.0
    assert readers.mass("500", CHOICES) == 500
    assert readers.mass("1100", Reading(Choices(as_of=date(2026, 1, 1), mass_unit="lb"))) == 499.0


@pytest.mark.parametrize(
    ("typed", "unit", "sentence"),
    [
        ("999999", "lb", "999999 lb is outside 78 to 2425 lb."),
        ("20 lbs", "kg", "20 lb is outside 78 to 2425 lb."),
        ("1200", "kg", "1200 kg is outside 35 to 1100 kg."),
    ],
)
def test_a_mass_out_of_bounds_is_said_as_it_was_typed(typed: str, unit: str, sentence: str) -> None:
    with pytest.raises(BadCell, match=re.escape(sentence)):
        readers.mass(typed, Reading(Choices(as_of=date(2026, 1, 1), mass_unit=unit)))


@pytest.mark.parametrize(
    ("typed", "kind"), [("Stable Rug", "stable"), ("manta mosquitera", "fly_sheet"), ("T/O", "turnout")]
)
def test_trade_words_for_kinds(typed: str, kind: str) -> None:
    """Common practice, no source."""
    assert headings.columns("blankets")["kind"].cell(typed, CHOICES) == kind


def test_no_trade_word_stands_for_two_kinds() -> None:
    said = [(headings.plain(word), value) for value, words in KIND.items() for word in words.split(",")]
    labels = {headings.plain(str(label)): str(value) for value, label in Kind.choices}
    assert len(dict(said)) == len(set(said))
    assert {word for word, value in said if labels.get(word, value) != value} == set()


@pytest.mark.parametrize("error", ["#REF!", "#N/A", "#DIV/0!"])
def test_what_a_program_could_not_work_out_is_a_fault_in_every_column(error: str) -> None:
    with pytest.raises(BadCell):
        headings.columns("blankets")["note"].cell(error, CHOICES)


@given(st.text(max_size=30))
def test_what_is_made_harmless_comes_back_whole(text: str) -> None:
    made = guarded(text)
    assert whole(made) == text
    assert made[:1] not in {"=", "+", "-", "@", "\t", "\r"}


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "'=1", "''=1", "＝1"])
def test_risky_cells_are_made_harmless(text: str) -> None:
    assert (guarded(text), whole(guarded(text))) == (f"'{text}", text)


@settings(max_examples=size(2000))
@given(st.text(max_size=40))
def test_no_cell_is_anything_but_a_value_or_a_sentence(typed: str) -> None:
    sentences = []
    for what in headings.COLUMNS:
        for column in headings.COLUMNS[what]:
            try:
                column.cell(typed, CHOICES)
            except BadCell as bad:
                sentences.append(str(bad))
    assert all(sentence[-1] in ".?" for sentence in sentences)


# Hostile.


def a_bomb(part: str = SHEET, inside: bytes = b"<row><c><v>1</v></c></row>", times: int = 4_000_000) -> bytes:
    """100 MB of XML that a few hundred kilobytes unpack to."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(PLAIN)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for kept in old.infolist():
            if kept.filename != part:
                new.writestr(kept, old.read(kept))
        with new.open(part, "w", force_zip64=False) as stream:
            stream.write(b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>')
            for _ in range(times // 10_000):
                stream.write(inside * 10_000)
            stream.write(b"</sheetData></worksheet>")
    return out.getvalue()


def lying_about(raw: bytes, part: str, claimed: int) -> bytes:
    """The directory and the part's own head claim another unpacked size."""
    out = bytearray(raw)
    name = part.encode()
    for mark, place_of_size, place_of_name in ((b"PK\x03\x04", 22, 30), (b"PK\x01\x02", 24, 46)):
        at = out.find(mark)
        while at >= 0:
            if out[at + place_of_name : at + place_of_name + len(name)] == name:
                struct.pack_into("<I", out, at + place_of_size, claimed)
            at = out.find(mark, at + 4)
    return bytes(out)


def with_many_parts(count: int) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as parts:
        for number in range(count):
            parts.writestr(f"xl/{number}.xml", b"")
    return out.getvalue()


def marked_as_locked(raw: bytes) -> bytes:
    out = bytearray(raw)
    for mark, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = out.find(mark)
        while at >= 0:
            out[at + flags] |= 1
            at = out.find(mark, at + 4)
    return bytes(out)


def sheet_of(inside: bytes) -> Callable[[], bytes]:
    head = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
    return lambda: sheets.with_parts(PLAIN, {SHEET: head + inside + b"</sheetData></worksheet>"})


def pointing_elsewhere() -> bytes:
    """The list of sheets names a part that is none of the workbook's sheets."""
    links = sheets.part(PLAIN, LINKS).replace(b"worksheets/sheet1.xml", b"media/sheet1.xml")
    return sheets.with_parts(PLAIN, {LINKS: links, "xl/media/sheet1.xml": sheets.part(PLAIN, SHEET)})


ENTITIES = b"".join(b'<!ENTITY e%d "%s">' % (n, (b"&e%d;" % (n - 1)) * 10 if n else b"ha" * 10) for n in range(10))
LAUGHS = b'<?xml version="1.0"?><!DOCTYPE w [' + ENTITIES + b"]><worksheet>&e9;</worksheet>"
OUTSIDE = b'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY x SYSTEM "file:///etc/hostname">]><worksheet>&x;</worksheet>'
LONG = "x" * 40_000

HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    "nothing": (lambda: b"", "no list that we can read"),
    "blanks only": (lambda: b"\n\n , ,\n", "nothing in this file"),
    "a picture": (lambda: b"\x89PNG\r\n\x1a\n" + b"\0" * 100, "no list"),
    "a PDF": (lambda: b"%PDF-1.7\n", "no list"),
    "a web page": (lambda: b"<!DOCTYPE html><table>", "no list"),
    "an old workbook": (lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "password|old kind"),
    "noughts in text": (lambda: b"Kind,Size\nLiner\0,78\n" * 3, "no text|damaged"),
    "11 MB": (lambda: b"Kind,Size\n" * 1_100_000, "larger than 10 MB"),
    "20,001 lines": (lambda: b"Kind,Size\n" * 20_001, "more than 20,000 lines"),
    "20,001 lines of a workbook": (lambda: sheets.book([["a", "b"]] * 20_001), "more than 20,000 lines"),
    "1,000 columns of text": (lambda: sheets.text([["x"] * 1000]).encode(), "1000 columns"),
    "1,000 columns": (lambda: sheets.book([["x"] * 1000]), "1000 columns"),
    "a huge cell of text": (lambda: sheets.text([HEAD, [LONG]]).encode(), "Line 2, column A holds 40000 characters"),
    "a huge cell": (sheet_of(b'<row><c t="inlineStr"><is><t>' + LONG.encode() + b"</t></is></c></row>"), "more text"),
    "a quotation mark that never closes": (lambda: b'Kind,Size\n"Liner,78\n' + b"Liner,78\n" * 20_000, "does not end"),
    "a zip of something else": (lambda: with_many_parts(3), "no spreadsheet"),
    "an open document": (
        lambda: sheets.with_parts(PLAIN, {"mimetype": b"x", "content.xml": b"<x/>"}),
        "OpenDocument",
    ),
    "100,000 parts": (lambda: with_many_parts(65_000), "more parts"),
    "a bomb": (a_bomb, "larger unpacked"),
    "a bomb that claims to be small": (lambda: lying_about(a_bomb(), SHEET, 1000), "damaged|larger"),
    "a bomb of formats": (lambda: a_bomb("xl/styles.xml", b"<xf/>"), "larger unpacked"),
    "a bomb of one mark": (lambda: a_bomb(inside=b"x" * 10 + b" "), "more text"),
    "truncated": (lambda: PLAIN[: len(PLAIN) // 2], "damaged"),
    "locked parts": (lambda: marked_as_locked(PLAIN), "password"),
    "macros": (lambda: sheets.with_parts(PLAIN, {"xl/vbaProject.bin": b"x"}), "macros"),
    "links to other files": (
        lambda: sheets.with_parts(PLAIN, {"xl/externalLinks/externalLink1.xml": b"<x/>"}),
        "other files",
    ),
    "connections": (lambda: sheets.with_parts(PLAIN, {"xl/connections.xml": b"<x/>"}), "other files"),
    "files inside": (lambda: sheets.with_parts(PLAIN, {"xl/embeddings/oleObject1.bin": b"x"}), "holds other files"),
    "entities": (lambda: sheets.with_parts(PLAIN, {SHEET: LAUGHS}), "damaged"),
    "an entity from outside": (lambda: sheets.with_parts(PLAIN, {SHEET: OUTSIDE}), "damaged"),
    "entities in the strings": (lambda: sheets.with_parts(PLAIN, {"xl/sharedStrings.xml": LAUGHS}), "damaged"),
    "a formula without its result": (lambda: sheets.book([HEAD, ["=1+1"]]), "Cell A2 holds a formula"),
    "row 99999999999": (sheet_of(b'<row r="99999999999"><c r="A99999999999"><v>1</v></c></row>'), "damaged"),
    "column ZZZZZZZ": (sheet_of(b'<row r="1"><c r="ZZZZZZZ1"><v>1</v></c></row>'), "damaged"),
    "a row of a million cells": (sheet_of(b"<row>" + b"<c/>" * 1_000_000 + b"</row>"), "larger unpacked"),
    "endless depth": (sheet_of(b"<a>" * 100_000), "damaged"),
    "not XML": (lambda: sheets.with_parts(PLAIN, {SHEET: b"<row"}), "damaged"),
    "strings that are not there": (sheet_of(b'<row r="1"><c r="A1" t="s"><v>99</v></c></row>'), "cannot be read"),
    "a sheet elsewhere": (pointing_elsewhere, "damaged"),
    "a hundred sheets": (
        lambda: sheets.book([], lambda book: [book.create_sheet(str(number)) for number in range(100)]),
        "more than 50 sheets",
    ),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_are_refused_with_a_sentence(name: str) -> None:
    make, word = HOSTILE[name]
    with pytest.raises(NotASheet, match=word) as said:
        read(make())
    assert str(said.value).endswith(".")


@pytest.mark.parametrize("name", ["a picture", "a bomb", "entities", "1,000 columns", "a huge cell of text"])
def test_of_a_refused_file_nothing_is_kept(db, cast, sign_in, name: str) -> None:
    answer = send(sign_in(cast.manager), sheets.upload(HOSTILE[name][0]()))
    assert answer.status_code == 400
    assert answer.context["form"].errors["file"]
    assert (ImportRun.objects.count(), ImportLine.objects.count()) == (0, 0)


def test_without_a_file_the_form_says_so(db, cast, sign_in) -> None:
    client = sign_in(cast.manager)
    answer = client.post(url("import_send", what="blankets"), {"once": str(uuid.uuid4())})
    assert (answer.status_code, answer.context["form"].errors["file"]) == (400, ["Choose a file."])
    assert client.get(url("import_send", what="saddles")).status_code == 404


MEASURE = """
import resource, sys, django
from django.conf import settings
settings.configure(); django.setup()
from inventory.sheets import reading, table, workbook
import openpyxl
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
with open(sys.argv[1], "rb") as file:
    try: print(len(reading.read(file).lines))
    except table.NotASheet as said: print(said)
print("MB", (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024)
"""


@pytest.mark.parametrize(
    ("name", "most_mb"),
    [
        ("a bomb", 15),
        ("a bomb that claims to be small", 15),
        ("a bomb of formats", 15),
        ("a row of a million cells", 15),
        ("100,000 parts", 15),
        ("entities", 15),
        ("column ZZZZZZZ", 15),
        ("11 MB", 15),
        ("the largest that is read", 150),
    ],
)
def test_memory_is_bounded(tmp_path, name: str, most_mb: int) -> None:
    """Measured in a process of its own."""
    path = tmp_path / "sent"
    full = [["some text of a usual length"] * 30] * 10_000
    path.write_bytes(HOSTILE[name][0]() if name in HOSTILE else sheets.book(full))
    told = subprocess.run(
        [sys.executable, "-c", MEASURE, str(path)], capture_output=True, text=True, check=True, timeout=120
    ).stdout
    assert int(told.rsplit("MB", 1)[1]) < most_mb, told


@settings(max_examples=size(2000), deadline=None)
@given(st.integers(0, 2**32), st.booleans())
def test_damaged_files_are_read_or_refused_never_a_fault(seed: int, as_text: bool) -> None:
    chance = random.Random(seed)
    data = bytearray(sheets.text([HEAD, ROW] * 5).encode() if as_text else PLAIN)
    for _ in range(chance.randint(1, 20)):
        data[chance.randrange(len(data))] = chance.randrange(256)
    if chance.random() < 0.3:
        del data[chance.randrange(len(data)) :]
    with suppress(NotASheet):
        assert read(bytes(data)).lines


@settings(max_examples=size(1000), deadline=None)
@given(st.integers(0, 2**32))
def test_damaged_parts_are_read_or_refused_never_a_fault(seed: int) -> None:
    """As above, but inside the zip, where no checksum stands guard."""
    chance = random.Random(seed)
    name = chance.choice([SHEET, "xl/workbook.xml", "xl/styles.xml", LINKS, "[Content_Types].xml"])
    data = bytearray(sheets.part(PLAIN, name))
    for _ in range(chance.randint(1, 4)):
        place = chance.randrange(len(data))
        data[place : place + chance.randint(0, 3)] = chance.choice([b"", b"9", b"x", b'"', b"<", b"99999999"])
    with suppress(NotASheet):
        assert read(sheets.with_parts(PLAIN, {name: bytes(data)})).lines
