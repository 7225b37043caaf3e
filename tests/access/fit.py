"""Fit notes, lending out, leave for another horse."""

from datetime import date, timedelta

from barnrugs.barns.journal import Actor
from inventory.domain import lending
from tests.access_table import row


def later(cast):
    return (date.today() + timedelta(days=9)).isoformat()  # noqa: DTZ011 - days, not hours


def lent(cast):
    lending.lend_out(cast.owners_blanket, to_whom="Somebody", actor=Actor(person=cast.manager))
    return cast.owners_blanket.pk


FIT = {"horse": lambda cast: cast.owners_horse.pk, "fit": "tight", "on": "2026-01-02"}

TABLE = {
    ("fit_note_add", "GET"): row("200 200 200 200 404 404", pk="owners_blanket"),
    ("fit_note_add", "POST"): row("302 302 302 302 404 404", pk="owners_blanket", data=FIT),
    ("fit_note_close", "GET"): row("200 200 200 200 404 404", pk="fit_note"),
    ("fit_note_close", "POST"): row("302 302 302 302 404 404", pk="fit_note"),
    ("blanket_lending", "GET"): row("200 200 200 200 404 404", pk="owners_blanket"),
    ("lend_out", "GET"): row("200 403 200 403 404 404", pk="owners_blanket"),
    ("lend_out", "POST"): row("302 403 302 403 404 404", pk="owners_blanket", data={"to_whom": "Somebody"}),
    ("lent_back", "GET"): row("200 200 200 200 404 404", pk="owners_blanket"),
    ("lent_back", "POST"): row("302 302 302 302 404 404", pk=lent),
    ("leave_add", "GET"): row("200 403 200 403 404 404", pk="owners_blanket"),
    ("leave_add", "POST"): row(
        "302 403 302 403 404 404", pk="owners_blanket", data={"whom": "one", "horse": "Fern", "since": later}
    ),
    ("leave_end", "GET"): row("200 403 200 403 404 404", pk="owners_blanket", leave="leave"),
    ("leave_end", "POST"): row("302 403 302 403 404 404", pk="owners_blanket", leave="leave"),
}
