"""The text of a weather file, the faults found in it, and its numbers: what all sources share."""

import csv
import re
from dataclasses import dataclass, field
from math import isfinite
from pathlib import Path
from typing import IO, Any

from django.utils.functional import Promise
from django.utils.translation import gettext as _

from barnrugs.weather.hours import Fault, WeatherFileFault

PathOrFile = str | Path | IO[bytes] | IO[str]

MAX_BYTES = 20_000_000
"""A typical year takes 2 MB; more is not one."""
MAX_FAULTS = 100
HEADER_LINES = 8
"""Place names and comments stand in at most so many lines; only there is an old one-byte encoding met in good files."""
NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?", re.ASCII)


class EnoughError(Exception):
    """Enough faults: reading on would only repeat them."""


@dataclass
class Faults:
    name: str
    found: list[Fault] = field(default_factory=list)

    def add(self, line: int | None, wrong: str) -> None:
        self.found.append(Fault(line, wrong))
        if len(self.found) >= MAX_FAULTS:
            raise EnoughError

    def raise_if_any(self) -> None:
        if self.found:
            raise WeatherFileFault(self.name, self.found)


@dataclass(frozen=True)
class Text:
    name: str
    lines: tuple[str, ...]

    def line(self, number: int) -> str:
        """By its number from 1; beyond the end an empty line."""
        return self.lines[number - 1] if number <= len(self.lines) else ""


@dataclass(frozen=True)
class Quantity:
    """A number of a row: its name, unit, the range in which it is believed, and the figures that stand for missing."""

    name: str | Promise
    unit: str | Promise
    low: float
    high: float
    missing: tuple[float, ...]

    def read(self, cell: str) -> float | None:
        """None if missing; ValueError with a sentence if it is no number or not to be believed."""
        if not cell.strip():
            return None
        value = number(cell, self.name)
        if value in self.missing:
            return None
        if not self.low <= value <= self.high:
            figures = {"name": self.name, "value": cell.strip(), "low": f"{self.low:g}", "high": f"{self.high:g}"}
            sentence = _("%(name)s %(value)s is outside %(low)s to %(high)s %(unit)s") % (figures | {"unit": self.unit})
            raise ValueError(sentence.rstrip())
        return value


def number(cell: str, name: str | Promise) -> float:
    text = cell.strip()
    if not NUMBER.fullmatch(text):
        raise ValueError(_("%(name)s “%(value)s” is not a number") % {"name": name, "value": text[:20]})
    value = float(text)
    if not isfinite(value):
        raise ValueError(_("%(name)s “%(value)s” is too large") % {"name": name, "value": text[:20]})
    return value


def within(cell: str, name: str, low: float, high: float) -> float:
    """A number that must be there."""
    value = Quantity(name, "", low, high, ()).read(cell)
    if value is None:
        raise ValueError(_("%(name)s is missing") % {"name": name})
    return value


def cells_of(line: str, count: int, span: str) -> list[str]:
    """A line of CSV with so many columns; ValueError with a sentence if it is none."""
    try:
        cells = next(csv.reader([line]), [])
    except csv.Error as error:
        raise ValueError(_("cannot be taken apart into columns (%(why)s)") % {"why": error}) from error
    if len(cells) != count:
        raise ValueError(
            _("%(columns)d columns instead of %(wanted)d %(span)s")
            % {"columns": len(cells), "wanted": count, "span": span}
        )
    return cells


def open_text(source: "PathOrFile | Text") -> Text:
    if isinstance(source, Text):
        return source
    name, raw = _name_and_bytes(source)
    if not raw.strip():
        raise WeatherFileFault(name, [Fault(None, _("the file is empty"))])
    if len(raw) > MAX_BYTES:
        raise WeatherFileFault(name, [Fault(None, _("larger than %(most)d MB") % {"most": MAX_BYTES // 1_000_000})])
    return Text(name, tuple(_decode(name, raw).splitlines()))


def _name_and_bytes(source: PathOrFile) -> tuple[str, bytes]:
    if isinstance(source, str | Path):
        path = Path(source)
        try:
            with path.open("rb") as file:
                return path.name, file.read(MAX_BYTES + 1)
        except OSError as error:
            raise WeatherFileFault(
                path.name, [Fault(None, _("cannot be opened (%(why)s)") % {"why": error.strerror})]
            ) from error
    raw: Any = source.read(MAX_BYTES + 1)
    return Path(str(getattr(source, "name", "the file"))).name, raw.encode() if isinstance(raw, str) else raw


def _decode(name: str, raw: bytes) -> str:
    if b"\0" in raw:
        line = raw[: raw.index(b"\0")].count(b"\n") + 1
        wrong = _("not plain text (UTF-16 or a binary file); save it as UTF-8 text")
        raise WeatherFileFault(name, [Fault(line, wrong)])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return _decode_old_header(name, raw)


def _decode_old_header(name: str, raw: bytes) -> str:
    lines = raw.split(b"\n")
    for count, line in enumerate(lines[HEADER_LINES:], HEADER_LINES + 1):
        if not line.isascii():
            raise WeatherFileFault(name, [Fault(count, _("a byte that is not UTF-8 text among the figures"))])
    return raw.decode("latin-1")
