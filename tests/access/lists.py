from barnrugs.barns.journal import Actor
from inventory.domain import lists
from inventory.models import HandCheck
from tests import factories as make
from tests.access_table import row
from tests.cast import Cast
from tests.inventory.lists import line_of, make_list

HORSE = "owners_horse"
LIST = {"day": lambda cast: make_list(cast).day.isoformat(), "session": lambda cast: make_list(cast).session}


def line(cast: Cast) -> int:
    return line_of(cast).pk


def left(cast: Cast) -> int:
    """A line on which something is noted already."""
    found = line_of(cast)
    return found.pk if found.outcome else lists.mark_not_done(found, why="No time", actor=Actor(cast.staff)).pk


def check(cast: Cast) -> int:
    known = HandCheck.objects.filter(horse=cast.owners_horse).first()
    return (known or make.HandCheckFactory(horse=cast.owners_horse, by=cast.staff)).pk


PLACE = {**LIST, "place": lambda cast: f"paddock-{cast.paddock.pk}"}

TABLE = {
    ("first_page", "GET"): row("200 200 200 200 200 200"),
    ("due", "GET"): row("200 200 200 200 200 200"),
    ("change_list", "GET"): row("200 200 200 200 200 200", **LIST),
    ("list_paper", "GET"): row("200 200 200 200 200 200", **LIST),
    ("list_anew", "GET"): row("200 200 403 200 403 403", **LIST),
    ("list_anew", "POST"): row("302 302 403 302 403 403", data={"air": "20"}, **LIST),
    ("list_note", "GET"): row("200 200 403 200 403 403", **LIST),
    ("list_note", "POST"): row("302 302 403 302 403 403", data={"note": "Gate is broken"}, **LIST),
    ("list_here", "GET"): row("200 200 403 200 403 403", **PLACE),
    ("list_here", "POST"): row("302 302 403 302 403 403", **PLACE),
    ("line", "GET"): row("200 200 200 200 404 404", pk=line),
    ("line_done", "POST"): row("302 302 403 302 404 404", pk=line),
    ("line_other", "GET"): row("200 200 403 200 404 404", pk=line),
    ("line_other", "POST"): row("302 302 403 302 404 404", pk=line, data={"instead": "|", "more": "Sunny"}),
    ("line_not_done", "GET"): row("200 200 403 200 404 404", pk=line),
    ("line_not_done", "POST"): row("302 302 403 302 404 404", pk=line, data={"more": "Gate locked"}),
    ("line_take_back", "POST"): row("302 302 403 302 404 404", pk=left),
    ("hand_check", "GET"): row("200 200 200 200 404 404", pk=HORSE),
    ("hand_check", "POST"): row("302 302 302 302 404 404", pk=HORSE, data={"felt": "right"}),
    ("hand_checks", "GET"): row("200 200 200 200 404 404", pk=HORSE),
    ("hand_check_back", "POST"): row("302 302 403 302 404 404", pk=check),
}
