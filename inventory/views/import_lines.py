"""The lines of a list as its pages show them: what is wrong with each, by column, and what it would change."""

from dataclasses import dataclass
from typing import Any, Final

from django.core.paginator import Paginator
from django.http import HttpRequest
from django.utils.translation import gettext as _

from barnrugs.barns.models.barn import Units
from barnrugs.matching import units
from inventory.columns import headings
from inventory.enums import LineFate
from inventory.models import ImportLine, ImportRun
from inventory.queries import imports as queries
from inventory.sheets.table import letter

PAGE: Final = 50


@dataclass(frozen=True)
class ShownFault:
    column: str
    cell: str
    sentence: str


@dataclass(frozen=True)
class ShownLine:
    line: ImportLine
    faults: list[ShownFault]
    changes: list[tuple[str, str, str]]
    cells: list[tuple[str, str]]


def page_of_lines(request: HttpRequest, run: ImportRun, fates: tuple[LineFate, ...], counts: Any) -> dict[str, Any]:
    """One page of the lines of one fate: the one asked for, or the first that any line has."""
    tabs = [(fate.value, fate.label, counts[fate]) for fate in fates if counts[fate]]
    names = [name for name, _label, _count in tabs]
    chosen = request.GET.get("show", "")
    shown = chosen if chosen in names else next(iter(names), "")
    found = queries.lines(run).filter(fate=shown)
    page = Paginator(found, PAGE).get_page(request.GET.get("page"))
    us = request.barn.units == Units.US
    return {"tabs": tabs, "shown": shown, "page": page, "lines": [_shown(run, line, us=us) for line in page]}


def _shown(run: ImportRun, line: ImportLine, *, us: bool) -> ShownLine:
    columns = headings.columns(run.what)
    told = {column["place"]: column for column in run.columns}
    cells = dict(enumerate(line.cells))
    return ShownLine(
        line,
        [
            ShownFault(_column_name(told.get(place)), cells.get(place, "")[:60], sentence)
            for place, sentence, _word in line.faults
        ],
        [
            (str(columns[name].label), _said(columns[name], was, us=us), _said(columns[name], will, us=us))
            for name, (was, will) in line.changes.items()
        ],
        [
            (told[place]["heading"], cell)
            for place, cell in cells.items()
            if cell and place in told and told[place]["field"]
        ],
    )


def _said(column: Any, value: Any, *, us: bool) -> str:
    if isinstance(value, list):
        return str(value[1])
    if column.unit == "kg" and us and value is not None:
        return f"{units.lb_from_kg(value):.0f} lb"
    return column.say(value) or _("nothing")


def _column_name(told: dict[str, Any] | None) -> str:
    if told is None:
        return ""
    return _("column %(letter)s, %(heading)s") % {
        "letter": letter(told["place"]),
        "heading": told["heading"] or _("no heading"),
    }
