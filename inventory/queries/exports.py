"""What a person may take out of the barn's lists."""

from collections.abc import Iterator

from barnrugs.barns import access
from barnrugs.barns.models import Person
from horses.models import Horse
from horses.queries.horse import OF_THE_BARN
from inventory.columns import headings
from inventory.columns.base import Column
from inventory.enums import ImportWhat
from inventory.models import Blanket
from inventory.queries.imports import with_known


def rows(person: Person, what: str) -> Iterator[list[str]]:
    """Headings, then a line for each; amounts of money only where this person may see them."""
    columns = [column for column in headings.COLUMNS[what] if column.name != "age"]
    yield [str(column.label) for column in columns]
    if what == ImportWhat.BLANKETS:
        yield from _blankets(person, columns)
    else:
        horses = access.rows(person, Horse, "export", Horse.objects.filter(presence__in=OF_THE_BARN))
        for horse in with_known(person.barn, list(horses)):
            yield [column.say(column.get(horse)) for column in columns]


def _blankets(person: Person, columns: list[Column]) -> Iterator[list[str]]:
    found = access.rows(person, Blanket, "export", Blanket.objects.select_related("owner", "usual_horse"))
    money = set(access.rows(person, Blanket, "see_money").values_list("pk", flat=True))
    for blanket in found.order_by("tag"):
        yield [column.say(column.get(blanket)) if blanket.pk in money or not column.money else "" for column in columns]
