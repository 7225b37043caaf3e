"""Which line of a file holds the headings, and which column each of them names."""

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Final

from django.conf import settings
from django.utils import translation

from inventory.columns import blankets, horses
from inventory.columns.base import Column, plain
from inventory.enums import ImportWhat
from inventory.sheets.table import Line

COLUMNS: Final[Mapping[str, tuple[Column, ...]]] = {
    ImportWhat.HORSES: horses.COLUMNS,
    ImportWhat.BLANKETS: blankets.COLUMNS,
}
LOOKED_AT: Final = 15
"""Lines among which the headings are looked for; titles and addresses stand above them."""


def columns(what: str) -> dict[str, Column]:
    return {column.name: column for column in COLUMNS[what]}


@cache
def known(what: str) -> dict[str, str]:
    """Every heading we know, in small letters, to the column it names: our own labels in each language first."""
    found: dict[str, str] = {}
    for code, _name in settings.LANGUAGES:
        with translation.override(code):
            for column in COLUMNS[what]:
                found.setdefault(plain(str(column.label)), column.name)
    for column in COLUMNS[what]:
        for heading in (column.name, *column.headings):
            found.setdefault(plain(heading), column.name)
    return found


def name_of(heading: str, what: str, taught: Mapping[str, str]) -> str | None:
    """The column a heading names; empty where the barn leaves it out, None where nobody knows it."""
    for text in (plain(heading), plain(heading.partition("(")[0])):
        if text and text in taught:
            return taught[text]
        if text in known(what):
            return known(what)[text]
    return None


def find(lines: Sequence[Line], what: str, taught: Mapping[str, str]) -> int:
    """The number of the line that names the most columns; where none names any, the first with several cells."""
    first = lines[:LOOKED_AT]
    best = max(first, key=lambda line: len({name_of(cell, what, taught) for cell in line.cells} - {None}))
    if any(name_of(cell, what, taught) for cell in best.cells):
        return best.number
    return next((line.number for line in first if sum(map(bool, line.cells)) > 1), first[0].number)


def headings_of(line: Sequence[str], above: Sequence[str], what: str, taught: Mapping[str, str]) -> list[str]:
    """The headings; a cell that was merged with the one above, or below a wider one, takes its text from there."""
    width = max(len(line), len(above))
    own = [*line, *[""] * (width - len(line))]
    if sum(map(bool, above)) < 2:
        return own
    upper, last = [], ""
    for text in [*above, *[""] * (width - len(above))]:
        last = text or last
        upper.append(last)
    return [
        _merged(text, group, direct, what, taught)
        for text, group, direct in zip(own, upper, [*above, *[""] * (width - len(above))], strict=True)
    ]


def _merged(own: str, group: str, direct: str, what: str, taught: Mapping[str, str]) -> str:
    if not own:
        return direct
    if name_of(own, what, taught) is None and name_of(f"{group} {own}", what, taught) is not None:
        return f"{group} {own}"
    return own


def assign(headings: Sequence[str], what: str, taught: Mapping[str, str]) -> list[str | None]:
    """For each heading the column it names; of two for the same one the first."""
    found: list[str | None] = []
    for heading in headings:
        name = name_of(heading, what, taught)
        found.append(None if name and name in found else name)
    return found
