"""Charts: a horse's by its owner or a manager, the house chart by a manager; read by those who see the horse."""

from barnrugs.barns.journal import Actor
from barnrugs.matching.charts import Row
from inventory.domain import charts
from inventory.domain.charts import Written
from inventory.models import Chart
from inventory.queries import charts as queries
from tests.access_table import row


def written(cast, horse):
    """The chart that holds; written now if there is none."""
    actor = Actor(person=cast.manager)
    found = queries.current(cast.barn, horse)
    return found or charts.write_chart(horse, written=Written((Row(None, None),)), seen=None, actor=actor)


def owners(cast):
    written(cast, cast.owners_horse)
    return cast.owners_horse.pk


def to_read(cast):
    pk = owners(cast)
    Chart.objects.update(read_again=True)
    return pk


def house(cast):
    return written(cast, None).pk


def owners_chart(cast):
    return written(cast, cast.owners_horse).pk


LINE = {"lines": "1", "line0_wear": "medium", "temperatures": "air", "override": "staff", "do": "save"}
OWNER = "200 200 200 200 404 404"

TABLE = {
    ("charts", "GET"): row("200 200 200 200 200 200"),
    ("house_chart", "GET"): row("200 200 200 200 200 200"),
    ("house_chart_change", "GET"): row("200 403 403 403 403 403"),
    ("house_chart_change", "POST"): row("302 403 403 403 403 403", data=LINE),
    ("house_chart_end", "GET"): row("404 403 403 403 403 403"),
    ("house_chart_end", "POST"): row("302 403 403 403 403 403", data={"chart": house}),
    ("chart", "GET"): row(OWNER, pk="owners_horse"),
    ("chart", "GET", "leased"): row("200 200 404 200 200 200", pk="leased_horse"),
    ("chart", "GET", "written"): row(OWNER, pk=owners),
    ("chart_change", "GET"): row("200 403 200 403 404 404", pk="owners_horse"),
    ("chart_change", "POST"): row("302 403 302 403 404 404", pk="owners_horse", data=LINE),
    ("chart_end", "GET"): row("200 403 200 403 404 404", pk=owners),
    ("chart_end", "POST"): row("302 403 302 403 404 404", pk="owners_horse", data={"chart": owners_chart}),
    ("chart_read", "POST"): row("302 403 302 403 404 404", pk=to_read),
}
