from barnrugs.barns.journal import Actor
from inventory.domain import imports as domain
from inventory.enums import ImportWhat
from inventory.sheets.table import Line, Table
from tests.access_table import row
from tests.cast import NOW, Cast
from tests.inventory import sheets

MANAGERS = "200 403 403 403 403 403"
THEIR_LIST = "200 404 404 404 404 404"
WRITTEN = "302 404 404 404 404 404"


def a_list(cast: Cast) -> int:
    """A list of one blanket, sent by the manager; the same one for everybody who is asked."""
    sent = domain.Sent("list.csv", "0" * 64, cast.manager.key)
    known = domain.ImportRun.objects.filter(person=cast.manager, once=sent.once).first()
    if known:
        return known.pk
    table = Table((Line(1, ("Kind", "Size")), Line(2, ("Cooler", "78"))))
    run = domain.begin(table, what=ImportWhat.BLANKETS, sent=sent, actor=Actor(cast.manager, now=NOW))
    domain.stage(run, table)
    return domain.check_chunk(run).pk


COLUMNS = {
    "heading": 1,
    "existing": "change",
    "size_system": "in",
    "date_order": "ask",
    "twins": "ask",
    "turnouts": "ask",
    "column_0": "kind",
    "column_1": "size",
}

TABLE = {
    ("imports", "GET"): row(MANAGERS),
    ("import_send", "GET"): row(MANAGERS, what=lambda cast: "blankets"),
    ("import_send", "POST"): row(
        "302 403 403 403 403 403",
        what=lambda cast: "blankets",
        data={"file": lambda cast: sheets.csv_file([["Kind", "Size"], ["Cooler", "78"]])},
    ),
    ("import_template", "GET"): row(MANAGERS, what=lambda cast: "horses", kind=lambda cast: "csv"),
    ("import_run", "GET"): row(THEIR_LIST, pk=a_list),
    ("import_columns", "GET"): row(THEIR_LIST, pk=a_list),
    ("import_columns", "POST"): row(WRITTEN, pk=a_list, data=COLUMNS),
    ("import_words", "POST"): row("400 404 404 404 404 404", pk=a_list),
    ("import_confirm", "POST"): row(WRITTEN, pk=a_list, data={"good": 1}),
    ("import_go_on", "POST"): row(WRITTEN, pk=a_list),
    ("import_drop", "POST"): row(WRITTEN, pk=a_list),
    ("exports", "GET"): row("200 200 200 200 200 200"),
    ("export_file", "GET"): row("200 200 200 200 200 200", what=lambda cast: "blankets", kind=lambda cast: "csv"),
}
