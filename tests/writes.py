"""The six tests that every write must pass: works, bad form, anonymous, another owner, another barn, sent again.

A module lists its writes and takes the tests: `TestWrites = six_tests(WRITES)`. What a write does in detail has
tests of its own; here it counts that it happens once, by whom, under which action of the journal, and that nobody
else does it.
"""

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest
from django import forms
from django.conf import settings
from django.shortcuts import resolve_url
from django.test import Client
from django.urls import reverse

from barnrugs.barns.models import JournalEntry
from tests.cast import Cast

Given = str | Callable[[Cast], Any]


@dataclass(frozen=True)
class Write:
    """A write by its address: who sends what, what its journal entry is, and what a bad form has wrong, at which field.
    A write without `bad` has a form with nothing but its button.

    parts: the address's, a name of the cast (its pk is taken) or a function of the cast. data and bad are laid over
    what the page shows. set_up runs first. others: what another owner is answered.
    """

    name: str
    action: str
    by: str = "manager"
    parts: Mapping[str, Given] = field(default_factory=dict)
    data: Mapping[str, Any] = field(default_factory=dict)
    bad: Mapping[str, Any] | None = None
    at: str | None = None
    others: int = 403
    answer: int = 302
    set_up: Callable[[Cast], Any] = lambda cast: None

    def __str__(self) -> str:
        return f"{self.name}-{self.action}"

    def url(self, cast: Cast) -> str:
        return reverse(self.name, kwargs={"slug": cast.barn.slug, **filled(self.parts, cast)})


def filled(given: Mapping[str, Given], cast: Cast) -> dict[str, Any]:
    return {name: getattr(cast, how).pk if isinstance(how, str) else how(cast) for name, how in given.items()}


def called(given: Mapping[str, Any], cast: Cast) -> dict[str, Any]:
    return {name: how(cast) if callable(how) else how for name, how in given.items()}


def shown(client: Client, url: str) -> dict[str, str]:
    """What the form on a page holds before anybody types: as a browser would send it back."""
    page = client.get(url)
    if page.status_code == 405:
        return {"once": str(uuid.uuid4())}
    data = {}
    for bound in page.context["form"]:
        value = bound.value()
        if isinstance(bound.field, forms.BooleanField):
            data |= {bound.html_name: "on"} if value else {}
        elif value is not None:
            choice = isinstance(bound.field, forms.ChoiceField)
            data[bound.html_name] = str(value if choice else bound.field.widget.format_value(value) or "")
    return data


def typed(client: Client, url: str, **fields: Any) -> dict[str, Any]:
    """What the page shows, with these fields typed over; None leaves a field out, as an empty box does."""
    data = {**shown(client, url), **fields}
    return {name: value for name, value in data.items() if value is not None}


def entries() -> int:
    return JournalEntry.objects.count()


def six_tests(writes: list[Write]) -> type:  # noqa: C901 - six tests, side by side
    each = pytest.mark.parametrize("write", writes, ids=str)

    @pytest.mark.django_db
    class SixTests:
        @each
        def test_it_works_and_is_written_down(self, write, cast, sign_in):
            write.set_up(cast)
            url = write.url(cast)
            client = sign_in(getattr(cast, write.by))
            data = typed(client, url, **called(write.data, cast))
            before = entries()
            answer = client.post(url, data)
            assert answer.status_code == write.answer, answer.context and answer.context["form"].errors
            assert entries() == before + 1
            entry = JournalEntry.objects.latest("pk")
            assert (entry.action, entry.person_key) == (write.action, getattr(cast, write.by).key)

        @pytest.mark.parametrize("write", [write for write in writes if write.bad is not None], ids=str)
        def test_a_bad_form_says_why_and_keeps_what_was_typed(self, write, cast, sign_in):
            write.set_up(cast)
            url = write.url(cast)
            client = sign_in(getattr(cast, write.by))
            bad = called(write.bad, cast)
            data = typed(client, url, **{**called(write.data, cast), **bad})
            before = entries()
            answer = client.post(url, data)
            assert answer.status_code == 200
            assert list(answer.context["form"].errors) == [write.at or "__all__"]
            # What no button of the page sends is not shown again.
            choices = {name for name, field in answer.context["form"].fields.items() if hasattr(field, "choices")}
            for value in (value for name, value in bad.items() if name not in choices):
                assert str(value or "") in answer.content.decode()
            assert entries() == before

        @each
        def test_nobody_does_it_without_signing_in(self, write, cast, sign_in):
            write.set_up(cast)
            url = write.url(cast)
            before = entries()
            answer = sign_in(None).post(url, {"once": str(uuid.uuid4()), **called(write.data, cast)})
            assert answer.status_code == 302
            assert answer.url.startswith(resolve_url(settings.LOGIN_URL))
            assert entries() == before

        @each
        def test_another_owner_does_not_do_it(self, write, cast, sign_in):
            write.set_up(cast)
            url = write.url(cast)
            data = typed(sign_in(getattr(cast, write.by)), url, **called(write.data, cast))
            before = entries()
            assert sign_in(cast.other_owner).post(url, data).status_code == write.others
            assert entries() == before

        @each
        def test_another_barn_does_not_do_it(self, write, cast, sign_in):
            write.set_up(cast)
            url = write.url(cast)
            data = typed(sign_in(getattr(cast, write.by)), url, **called(write.data, cast))
            before = entries()
            stranger = sign_in(cast.stranger)
            assert stranger.post(url, data).status_code == 404
            parts = filled(write.parts, cast)
            if parts:
                there = reverse(write.name, kwargs={"slug": cast.other.barn.slug, **parts})
                assert stranger.post(there, data).status_code == 404
            assert entries() == before

        @each
        def test_sent_again_it_happens_once(self, write, cast, sign_in):
            write.set_up(cast)
            url = write.url(cast)
            client = sign_in(getattr(cast, write.by))
            data = typed(client, url, **called(write.data, cast))
            first = client.post(url, data)
            after = entries()
            second = client.post(url, data)
            assert (second.status_code, second.headers.get("Location")) == (
                first.status_code,
                first.headers.get("Location"),
            )
            assert entries() == after

    return SixTests
