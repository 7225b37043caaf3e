"""A column of a list, and what reading a cell needs to know."""

import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final

from django.db.models import Model
from django.utils.translation import gettext as _

from horses.enums import SizeSystem

LONGEST_WORD: Final = 80
"""A longer cell is no word whose meaning is kept."""
ERROR: Final = re.compile(r"#(N/A|REF!|VALUE!|DIV/0!|NAME\?|NULL!|NUM!|SPILL!)")


class BadCell(ValueError):
    """What is wrong with a cell, in a sentence."""


class Question(BadCell):
    """A word that could mean several things: it is asked for, never guessed."""


@dataclass(frozen=True)
class Choices:
    """How one file is to be read where the file itself does not say."""

    as_of: date
    existing: str = "change"
    size_system: str = SizeSystem.INCHES
    date_order: str = "ask"
    mass_unit: str = "kg"
    turnouts: str = "ask"
    twins: str = "ask"


@dataclass(frozen=True)
class Reading:
    """What stands in the barn, by name in small letters, and what its own words mean, by column and word."""

    choices: Choices
    people: Mapping[str, Sequence[Model]] = field(default_factory=dict)
    horses: Mapping[str, Sequence[Model]] = field(default_factory=dict)
    paddocks: Mapping[str, Sequence[Model]] = field(default_factory=dict)
    words: Mapping[tuple[str, str], str] = field(default_factory=dict)


Read = Callable[[str, Reading], Any]


@dataclass(frozen=True)
class Column:
    """headings: how else people head it. get: what a record has. examples: two cells for the template, invented.

    choices: the words it can hold, so that an unknown word can be answered by one of them. asked: what else an unknown
    word can be answered by: a person, a horse, a paddock or grams.
    """

    name: str
    label: Any
    read: Read
    get: Callable[[Any], Any]
    headings: tuple[str, ...] = ()
    examples: tuple[str, str] = ("", "")
    help: Any = ""
    choices: tuple[tuple[str, Any], ...] = ()
    asked: str = ""
    money: bool = False
    unit: str = ""

    def cell(self, text: str, reading: Reading) -> Any:
        """The value in a cell; None where it says nothing. Raises BadCell."""
        meaning = reading.words.get((self.name, plain(text)), text)
        if not meaning:
            return None
        if ERROR.fullmatch(meaning):
            raise BadCell(_("The spreadsheet program could not work this cell out (%(cell)s).") % {"cell": meaning})
        return self.read(meaning, reading)

    def say(self, value: Any) -> str:
        """A value as it is written into a list and read back from it."""
        if value is None:
            return ""
        if self.choices:
            return str(dict(self.choices).get(value, value))
        if isinstance(value, bool):
            return _("yes") if value else _("no")
        if isinstance(value, float):
            return f"{value:.10g} {self.unit}".strip()
        return "; ".join(str(one) for one in value) if isinstance(value, tuple) else str(value)


def plain(text: str) -> str:
    """Small letters and figures with single blanks, without accents: how headings and words are compared."""
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    return " ".join(re.findall(r"[^\W_]+", "".join(part for part in decomposed if not unicodedata.combining(part))))
