"""Every address of a barn against the access table, for every role, by real requests."""

import uuid
from collections.abc import Callable

import pytest
from django.conf import settings
from django.db import transaction
from django.shortcuts import resolve_url
from django.test import Client
from django.urls import reverse

from barnrugs.barns.models import Person
from tests.access_table import LOGIN, METHODS, Answer, Key, Row, routes, table
from tests.cast import Cast

TABLE = table()
SignIn = Callable[[Person | None], Client]


def answer(client: Client, name: str, method: str, row: Row, cast: Cast) -> Answer:
    """The status; a redirect to the sign-in page is named, so that it is not taken for a write that went through."""
    data = {"once": str(uuid.uuid4()), **row.fields(cast)} if method == "POST" else row.fields(cast)
    with transaction.atomic():
        response = getattr(client, method.lower())(reverse(name, kwargs=row.kwargs(cast)), data)
        transaction.set_rollback(True)
    to_login = response.status_code == 302 and response.url.startswith(resolve_url(settings.LOGIN_URL))
    return LOGIN if to_login else response.status_code


def test_every_address_has_a_row() -> None:
    assert routes() - {name for name, *_ in TABLE} == set()


def test_every_row_has_an_address() -> None:
    assert {name for name, *_ in TABLE} - routes() == set()


@pytest.mark.parametrize("key", TABLE, ids=" ".join)
def test_answers(key: Key, cast: Cast, sign_in: SignIn) -> None:
    name, method, *_ = key
    row = TABLE[key]
    people: dict[str, Person | None] = {"anonymous": None, **cast.people}
    got = {role: answer(sign_in(person), name, method, row, cast) for role, person in people.items()}
    assert got == row.answers


@pytest.mark.parametrize("key", TABLE, ids=" ".join)
def test_a_method_without_a_row_is_refused(key: Key, cast: Cast, sign_in: SignIn) -> None:
    name = key[0]
    undeclared = [method for method in METHODS if not any(other[:2] == (name, method) for other in TABLE)]
    got = {method: answer(sign_in(cast.manager), name, method, TABLE[key], cast) for method in undeclared}
    assert got == dict.fromkeys(undeclared, 405)
