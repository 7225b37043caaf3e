"""The barn's page, its rules and times, its people and invitations, its first steps."""

from barnrugs.barns.domain import house
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from barnrugs.barns.queries import house as queries
from tests.access_table import row


def newcomer(cast):
    return Person.objects.get_or_create(barn=cast.barn, name="Newcomer", is_staff=True)[0].pk


def edit(cast):
    house.change_house(cast.barn, values={"drying_hours": 20}, actor=Actor(person=cast.manager))
    return queries.edits_of(cast.barn).first().pk


TIMES = {"turnout": "07:00"}
NEW = {"name": "New", "is_staff": "on"}

TABLE = {
    ("barn", "GET"): row("200 200 200 200 200 200"),
    ("house_change", "GET"): row("200 403 403 403 403 403"),
    ("house_change", "POST"): row("200 403 403 403 403 403"),
    ("house_take_back", "GET"): row("200 403 403 403 403 403", entry=edit),
    ("house_take_back", "POST"): row("302 403 403 403 403 403", entry=edit),
    ("staffed_times", "GET"): row("200 403 403 403 403 403"),
    ("staffed_times", "POST"): row("302 403 403 403 403 403", data=TIMES),
    ("people", "GET"): row("200 403 403 403 403 403"),
    ("person_add", "GET"): row("200 403 403 403 403 403"),
    ("person_add", "POST"): row("302 403 403 403 403 403", data=NEW),
    ("person_change", "GET"): row("200 403 404 403 404 404", pk="staff"),
    ("person_change", "POST"): row("200 403 404 403 404 404", pk="staff"),
    ("person_leaves", "GET"): row("200 403 404 403 404 404", pk="staff"),
    ("person_leaves", "POST"): row("302 403 404 403 404 404", pk="staff"),
    ("person_returns", "GET"): row("200 403 404 403 404 404", pk="leaver"),
    ("person_returns", "POST"): row("302 403 404 403 404 404", pk="leaver"),
    ("invite", "GET"): row("200 403 404 403 404 404", pk=newcomer),
    ("invite", "POST"): row("200 403 404 403 404 404", pk=newcomer),
    ("first_run", "GET"): row("200 403 403 403 403 403"),
}
