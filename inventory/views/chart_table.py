"""The barn's charts as one table, a row for each chart: what hangs on the wall."""

from dataclasses import dataclass
from typing import Final

from django.utils.translation import gettext as _

from barnrugs.matching import MODEL, charts
from inventory import chart_words
from inventory.domain import chart_bands
from inventory.domain.charts import written
from inventory.models import Chart

RULES: Final = MODEL


@dataclass(frozen=True)
class Row:
    """cells: what the chart says in each column, from warm to cold, each a line of words."""

    chart: Chart
    about: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]
    notes: str


def row(chart: Chart, *, us: bool) -> Row:
    said = written(chart)
    return Row(
        chart=chart,
        about=tuple(_about(chart, us=us)),
        cells=tuple(tuple(_cell(said.rows, column, us=us)) for column in charts.COLUMNS),
        notes=chart.note,
    )


def _about(chart: Chart, *, us: bool) -> list[str]:
    said = [_("feels-like") if chart.feels_like else _("air")]
    if chart.tolerance_c:
        said.append(_("tolerance %(by)s") % {"by": chart_words.difference(chart.tolerance_c, us=us)})
    return [", ".join(said), chart.get_override_display()]


def _cell(rows: tuple[charts.Row, ...], column: chart_bands.Column, *, us: bool) -> list[str]:
    """From warm to cold; a column that the chart does not speak of stays empty."""
    if column not in charts.columns(rows):
        return []
    warm_first = sorted(charts.of_column(rows, *column), key=lambda row: -row.high)
    return [_entry(row, us=us) for row in warm_first]


def _entry(row: charts.Row, *, us: bool) -> str:
    said = f"{chart_words.short_span(row.from_c, row.below_c, us=us)}: {chart_words.put_on(row)}"
    noted = chart_words.notes(row)
    return f"{said} ({noted})" if noted else said
