"""Horses, what is measured and noted of them, their owners, and paddocks."""

from datetime import date

from barnrugs.barns.journal import Actor
from horses.domain import horse as domain
from horses.models import HorseOwner
from tests.access_table import row

TODAY = date.today().isoformat  # noqa: DTZ011 - the barn's day differs by hours, the form takes yesterday too


def measurement(cast):
    return cast.owners_horse.measurements.get().pk


def coat(cast):
    return cast.owners_horse.coats.get().pk


def condition(cast):
    return cast.owners_horse.conditions.get().pk


def ownership(cast):
    return HorseOwner.objects.get(horse=cast.owners_horse).pk


def edit(cast):
    domain.change_horse(cast.owners_horse, values={"stall": "99"}, actor=Actor(person=cast.manager))
    return domain.queries.edits_of(cast.owners_horse).first().pk


MEASURED = {"on": "2026-01-02", "size": "78", "system": "in", "tape": "in"}

TABLE = {
    ("horses", "GET"): row("200 200 200 200 200 200"),
    ("horse_order", "GET"): row("200 403 403 403 403 403"),
    ("horse_place", "GET"): row("200 403 403 403 404 404", pk="owners_horse"),
    ("horse_place", "POST"): row("302 403 403 403 404 404", pk="owners_horse", data={"to": "2"}),
    ("horse_add", "GET"): row("200 403 403 403 403 403"),
    ("horse_add", "POST"): row(
        "302 403 403 403 403 403", data={"name": "New", "build": "average", "feed": "maintenance"}
    ),
    ("horse", "GET"): row("200 200 200 200 404 404", pk="owners_horse"),
    ("horse", "GET", "leased"): row("200 200 404 200 200 200", pk="leased_horse"),
    ("horse_change", "GET"): row("200 403 200 403 404 404", pk="owners_horse"),
    ("horse_change", "POST"): row("200 403 200 403 404 404", pk="owners_horse"),
    ("horse_handling", "GET"): row("200 200 200 200 404 404", pk="owners_horse"),
    ("horse_handling", "POST"): row("200 200 200 200 404 404", pk="owners_horse"),
    ("horse_vet", "GET"): row("200 403 200 403 404 404", pk="owners_horse"),
    ("horse_vet", "POST"): row("200 403 200 403 404 404", pk="owners_horse"),
    ("horse_presence", "GET"): row("200 200 200 200 404 404", pk="owners_horse"),
    ("horse_presence", "POST"): row("302 302 302 302 404 404", pk="owners_horse", data={"presence": "away"}),
    ("horse_take_back", "GET"): row("200 403 200 403 404 404", pk="owners_horse", entry=edit),
    ("horse_take_back", "POST"): row("302 403 302 403 404 404", pk="owners_horse", entry=edit),
    ("how_to_measure", "GET"): row("200 200 200 200 200 200"),
    ("measurement_add", "GET"): row("200 200 200 200 404 404", pk="owners_horse"),
    ("measurement_add", "POST"): row("302 302 302 302 404 404", pk="owners_horse", data=MEASURED),
    ("coat_add", "GET"): row("200 200 200 200 404 404", pk="owners_horse"),
    ("coat_add", "POST"): row(
        "302 302 302 302 404 404", pk="owners_horse", data={"on": "2026-01-02", "clip": "trace", "clipped_now": "on"}
    ),
    ("condition_add", "GET"): row("200 200 200 200 404 404", pk="owners_horse"),
    ("condition_add", "POST"): row(
        "302 302 302 302 404 404", pk="owners_horse", data={"on": "2026-01-02", "score": "4.5"}
    ),
    ("measurement_withdraw", "GET"): row("200 200 200 200 404 404", pk="owners_horse", record=measurement),
    ("measurement_withdraw", "POST"): row("302 302 302 302 404 404", pk="owners_horse", record=measurement),
    ("coat_withdraw", "GET"): row("200 200 200 200 404 404", pk="owners_horse", record=coat),
    ("coat_withdraw", "POST"): row("302 302 302 302 404 404", pk="owners_horse", record=coat),
    ("condition_withdraw", "GET"): row("200 200 200 200 404 404", pk="owners_horse", record=condition),
    ("condition_withdraw", "POST"): row("302 302 302 302 404 404", pk="owners_horse", record=condition),
    ("paddocks", "GET"): row("200 200 200 200 200 200"),
    ("paddock_add", "GET"): row("200 403 403 403 403 403"),
    ("paddock_add", "POST"): row(
        "302 403 403 403 403 403", data={"name": "New Field", "shelter": "shed", "out_plan": "day"}
    ),
    ("paddock_change", "GET"): row("200 403 403 403 403 403", pk="paddock"),
    ("paddock_change", "POST"): row("200 403 403 403 403 403", pk="paddock"),
    ("horse_paddock", "GET"): row("200 403 403 403 404 404", pk="owners_horse"),
    ("horse_paddock", "POST"): row(
        "302 403 403 403 404 404", pk="owners_horse", data={"paddock": "", "since": lambda cast: TODAY()}
    ),
    ("owner_add", "GET"): row("200 403 403 403 404 404", pk="owners_horse"),
    ("owner_add", "POST"): row(
        "302 403 403 403 404 404",
        pk="owners_horse",
        data={"person": lambda cast: cast.lessee.pk, "lessee": "on", "since": "2026-01-02"},
    ),
    ("owner_end", "GET"): row("200 404 403 404 404 404", pk=ownership),
    ("owner_end", "POST"): row("302 404 403 404 404 404", pk=ownership, data={"until": "2030-01-01"}),
}
