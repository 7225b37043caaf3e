"""Charts: a keeper's temperature bands, in versions. A new version ends the one before; nothing is erased."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.editing import validate
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Units
from barnrugs.barns.queries.people import last_writer_about
from barnrugs.matching import charts
from horses.models import Horse
from inventory import chart_words
from inventory.domain.precedence import value_of
from inventory.enums import Override
from inventory.models import Chart, ChartRow
from inventory.queries import charts as queries


@dataclass(frozen=True)
class Written:
    """What somebody writes: the lines, how temperatures are meant, and who may do otherwise."""

    rows: tuple[charts.Row, ...]
    feels_like: bool = False
    tolerance_c: float = 0.0
    override: str = Override.STAFF
    note: str = ""

    @property
    def value(self) -> charts.Chart:
        return charts.Chart(self.rows, self.feels_like, self.tolerance_c)


def written(chart: Chart) -> Written:
    """A chart's record as it was written; its rows must have been fetched."""
    value = value_of(chart)
    return Written(value.rows, chart.feels_like, chart.tolerance_c, chart.override, chart.note)


def in_order(rows: Sequence[charts.Row]) -> tuple[charts.Row, ...]:
    """As a chart is read: by place, dry before wet, from warm to cold."""
    return tuple(sorted(rows, key=lambda row: (row.place or "", row.wet or "", -row.high, -row.low)))


@transaction.atomic
def write_chart(horse: Horse | None, *, written: Written, seen: int | None, actor: Actor) -> Chart:
    """A new version of a horse's chart, or of the house chart; the same again says that it was read and holds.

    seen: the version that was open when the person began to write.
    """
    _lock(horse, actor)
    before = queries.current(actor.barn, horse)
    if (before.pk if before else None) != seen:
        raise Refused(_changed_meanwhile(horse, before, seen, actor))
    if before and _content(before) == _said(written):
        return _mark_read(before, actor) if before.read_again else before
    if not written.rows:
        raise Refused(_("A chart needs at least one line."))
    if before:
        _end(before, actor)
    chart = _save(horse, written, actor)
    _journal("chart_written" if horse else "house_chart_written", before, chart, actor)
    return chart


@transaction.atomic
def end_chart(chart: Chart, *, actor: Actor, why: str = "") -> None:
    """From now on there is no such chart; what it said stays readable."""
    fresh = _open(chart)
    _end(fresh, actor)
    _journal("chart_ended" if fresh.horse else "house_chart_ended", fresh, None, actor, why)


@transaction.atomic
def confirm_chart(chart: Chart, *, actor: Actor) -> Chart:
    """After a clip its keeper has read it again: it holds as it is."""
    fresh = _open(chart)
    if not fresh.read_again:
        raise Refused(_("Somebody has read it again already: it holds."))
    return _mark_read(fresh, actor)


def ask_after_a_clip(horse: Horse, actor: Actor) -> None:
    """A clipped horse wants other weights: its chart waits for its keeper to read it again, and stays in force."""
    Chart.objects.filter(horse=horse, until__isnull=True).update(read_again=True)


def _lock(horse: Horse | None, actor: Actor) -> None:
    locked = Horse.objects.filter(pk=horse.pk) if horse else Barn.objects.filter(pk=actor.barn.pk)
    locked.select_for_update().get()


def _open(chart: Chart) -> Chart:
    fresh = Chart.objects.select_for_update(of=("self",)).select_related("horse").get(pk=chart.pk)
    if fresh.until:
        raise Refused(_("This version no longer holds: look at the chart as it is now."))
    return fresh


def _end(chart: Chart, actor: Actor) -> None:
    chart.until = max(actor.at, chart.since)
    chart.save(update_fields=["until"])


def _mark_read(chart: Chart, actor: Actor) -> Chart:
    chart.read_again = False
    chart.save(update_fields=["read_again"])
    about = [chart.horse] if chart.horse else [actor.barn]
    journal.write(actor, "chart_read_again", about=about, before={"read_again": True}, after={"read_again": False})
    return chart


def _save(horse: Horse | None, written: Written, actor: Actor) -> Chart:
    chart = Chart(
        barn=actor.barn,
        horse=horse,
        feels_like=written.feels_like,
        tolerance_c=written.tolerance_c,
        override=written.override,
        note=written.note,
        since=actor.at,
    )
    names = ("chart_one_a_horse", "chart_one_for_the_house", "inventory_chart.horse_id", "inventory_chart.barn_id")
    with refusing(dict.fromkeys(names, _("Somebody else has just written this chart. Open it again."))):
        validate(chart)
        chart.save(force_insert=True)
    rows = [_record(chart, number, row) for number, row in enumerate(written.rows)]
    for row in rows:
        validate(row, {"chart_row_spans_something": _("A line must end above where it begins.")})
    ChartRow.objects.bulk_create(rows)
    return chart


def _record(chart: Chart, number: int, row: charts.Row) -> ChartRow:
    return ChartRow(
        barn=chart.barn,
        chart=chart,
        order=number,
        from_c=row.from_c,
        below_c=row.below_c,
        place=row.place or "",
        wet=row.wet or "",
        fill=row.fill or "",
        tags=" ".join(row.tags),
        neck=row.neck,
        common=" ".join(row.picked),
        note=row.note,
    )


def _journal(name: str, before: Chart | None, after: Chart | None, actor: Actor, why: str = "") -> None:
    horse = (after or before or Chart()).horse
    journal.write(
        actor,
        name,
        about=[horse] if horse else [actor.barn],
        before=_content(before) if before else {},
        after=_content(after) if after else {},
        why=why,
    )


def _content(chart: Chart) -> dict[str, Any]:
    return _said(written(chart))


def _said(said: Written) -> dict[str, Any]:
    """What the journal keeps of a version; plain values, so that two versions can be compared."""
    content = asdict(said)
    content["rows"] = [{**row, "tags": list(row["tags"]), "picked": list(row["picked"])} for row in content["rows"]]
    content["override"] = str(said.override)
    return content


def _changed_meanwhile(horse: Horse | None, now: Chart | None, seen: int | None, actor: Actor) -> str:
    us = actor.barn.units == Units.US
    who = last_writer_about(horse or actor.barn) or _("Somebody")
    old = Chart.objects.filter(pk=seen, barn=actor.barn).prefetch_related("rows").first() if seen else None
    was, is_now = (set(value_of(one).rows) if one else set() for one in (old, now))
    listed = "; ".join(chart_words.line(row, us=us) for row in in_order(list(is_now - was))) or _("nothing added")
    return _(
        "%(who)s changed this chart while you were writing (new: %(listed)s). Nothing you typed is lost: look it "
        "through and save again to put yours in its place."
    ) % {"who": who, "listed": listed}
