"""Rows of the inventory: blankets, pictures, saved views, tags, labels."""

from tests import factories as make
from tests.access_table import Key, Row, row
from tests.cast import Cast
from tests.inventory.forms import blanket_fields, seen_of


def retired(cast: Cast) -> int:
    blanket = make.BlanketFactory(barn=cast.barn, owner=cast.owner, usual_horse=cast.owners_horse)
    make.PlacingFactory(blanket=blanket, kind="retired")
    return blanket.pk


def lost(cast: Cast) -> int:
    blanket = make.BlanketFactory(barn=cast.barn, owner=cast.owner, usual_horse=cast.owners_horse)
    make.PlacingFactory(blanket=blanket, kind="lost")
    return blanket.pk


def drying(cast: Cast) -> int:
    blanket = make.BlanketFactory(barn=cast.barn, owner=cast.owner, usual_horse=cast.owners_horse)
    make.PlacingFactory(blanket=blanket, kind="drying")
    return blanket.pk


def picture(cast: Cast) -> int:
    return make.PictureFactory(blanket=cast.owners_blanket, taken_by=cast.staff).pk


def managers_view(cast: Cast) -> int:
    return make.SavedViewFactory(person=cast.manager).pk


def staffs_view(cast: Cast) -> int:
    return make.SavedViewFactory(person=cast.staff).pk


CHANGED = blanket_fields(seen=lambda cast: seen_of(cast.owners_blanket, cast.manager), owner=lambda cast: cast.owner.pk)
OWN = "owners_blanket"
STAFF_SEE = "200 200 200 200 404 404"
HANDLE = "302 302 302 302 404 404"
CHANGE_PAGE = "200 403 200 403 404 404"
CHANGE = "302 403 302 403 404 404"

TABLE: dict[Key, Row] = {
    ("blankets", "GET"): row("200 200 200 200 200 200"),
    ("blanket_add", "GET"): row("200 403 200 200 200 200"),
    ("blanket_add", "POST"): row("302 403 302 302 302 302", data=blanket_fields()),
    ("blanket", "GET"): row(STAFF_SEE, pk=OWN),
    ("blanket", "GET", "worn"): row(STAFF_SEE, pk="worn"),
    ("blanket", "GET", "leased horse's"): row("200 200 404 200 200 200", pk="leased_blanket"),
    ("blanket", "GET", "barn's own"): row("200 200 404 200 404 404", pk="barn_blanket"),
    ("blanket", "GET", "next door"): row("404 404 404 404 404 404", pk=lambda cast: cast.other.blanket.pk),
    ("blanket_change", "GET"): row(CHANGE_PAGE, pk=OWN),
    ("blanket_change", "GET", "barn's own"): row("200 403 404 403 404 404", pk="barn_blanket"),
    ("blanket_change", "GET", "staff owner's"): row("200 403 404 200 404 404", pk="staff_owners_blanket"),
    ("blanket_change", "GET", "leased horse's"): row("200 403 404 403 200 403", pk="leased_blanket"),
    ("blanket_change", "POST"): row(CHANGE, pk=OWN, data=CHANGED),
    ("blanket_change", "POST", "form without what it had seen"): row(CHANGE_PAGE, pk=OWN, data=blanket_fields()),
    ("blanket_lost", "GET"): row(STAFF_SEE, pk=OWN),
    ("blanket_lost", "POST"): row(HANDLE, pk=OWN),
    ("blanket_found", "GET"): row(STAFF_SEE, pk=lost),
    ("blanket_found", "POST"): row(HANDLE, pk=lost),
    ("blanket_retire", "GET"): row(CHANGE_PAGE, pk=OWN),
    ("blanket_retire", "POST"): row(CHANGE, pk=OWN),
    ("blanket_return", "GET"): row(CHANGE_PAGE, pk=retired),
    ("blanket_return", "POST"): row(CHANGE, pk=retired),
    ("blanket_dry", "GET"): row(STAFF_SEE, pk=drying),
    ("blanket_dry", "POST"): row(HANDLE, pk=drying),
    ("blanket_take_back", "GET"): row("302 403 302 403 404 404", pk=OWN, entry=lambda cast: cast.entry.pk),
    ("blanket_take_back", "POST"): row("302 403 302 403 404 404", pk=OWN, entry=lambda cast: cast.entry.pk),
    ("picture_add", "GET"): row(STAFF_SEE, pk=OWN),
    ("picture_add", "POST", "without a picture"): row(STAFF_SEE, pk=OWN),
    ("picture_remove", "GET"): row("200 200 200 403 404 404", pk=picture),
    ("picture_remove", "POST"): row("302 302 302 403 404 404", pk=picture),
    ("picture", "GET"): row(STAFF_SEE, pk=picture),
    ("picture_small", "GET"): row(STAFF_SEE, pk=picture),
    ("view_save", "GET"): row("200 200 200 200 200 200"),
    ("view_save", "POST"): row("302 302 302 302 302 302", data={"name": "Mine", "query": "wet=soaked"}),
    ("view_remove", "GET"): row("200 404 404 404 404 404", pk=managers_view),
    ("view_remove", "POST"): row("302 404 404 404 404 404", pk=managers_view),
    ("view_remove", "POST", "staff's"): row("404 302 404 404 404 404", pk=staffs_view),
    ("tag", "GET"): row("200 200 200 200 200 200"),
    ("tag", "GET", "of a blanket"): row("302 302 302 302 200 200", data={"tag": "WNR33"}),
    ("tags", "GET"): row("200 200 200 200 200 200"),
    ("labels", "GET"): row("200 200 200 200 200 200", data={"b": lambda cast: cast.owners_blanket.pk}),
}
