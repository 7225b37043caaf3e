"""Saved views: a person's own filters under a name."""

import uuid
from collections.abc import Callable

import pytest
from django.test import Client

from barnrugs.barns.models import JournalEntry, Person
from inventory.domain import saved_views as domain
from inventory.models import SavedView
from tests import factories as make
from tests.cast import Cast
from tests.inventory.sending import address, records, send

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]
ALL = (SavedView, JournalEntry)
GOOD = {"name": "Soaked now", "query": "wet=soaked&sort=horse"}


class TestSaving:
    def url(self) -> str:
        return address("view_save")

    def test_it_works_and_stands_above_the_list(self, cast: Cast, sign_in: SignIn) -> None:
        client = sign_in(cast.staff)
        answer = send(client, self.url(), **GOOD)
        assert answer.url == f"{address('blankets')}?wet=soaked&sort=horse"
        page = client.get(answer.url)
        assert "Soaked now" in page.text
        assert page.context["form"].asked().wet == ["soaked"]

    def test_nobody_else_sees_it(self, cast: Cast, sign_in: SignIn) -> None:
        send(sign_in(cast.staff), self.url(), **GOOD)
        assert "Soaked now" not in sign_in(cast.manager).get(address("blankets")).text

    def test_the_same_name_again_stands_for_the_new_one(self, cast: Cast, sign_in: SignIn) -> None:
        client = sign_in(cast.staff)
        for query in ("wet=soaked", "wet=drying"):
            send(client, self.url(), name="Wet", query=query)
        assert list(SavedView.objects.values_list("name", "query")) == [("Wet", "wet=drying")]

    @pytest.mark.parametrize("wrong", [{"name": ""}, {"name": "x" * 41}, {"query": "q=" + "x" * 1001}])
    def test_a_bad_form_is_shown_again(self, cast: Cast, sign_in: SignIn, wrong: dict) -> None:
        before = records(ALL)
        assert send(sign_in(cast.staff), self.url(), **GOOD | wrong).status_code == 200
        assert records(ALL) == before

    def test_there_is_a_most(self, cast: Cast, sign_in: SignIn, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(domain, "MOST", 1)
        make.SavedViewFactory(person=cast.staff)
        assert "You have 1 saved views" in send(sign_in(cast.staff), self.url(), **GOOD).text

    @pytest.mark.parametrize(("who", "status"), [(None, 302), ("stranger", 404), ("leaver", 404)])
    def test_others_may_not(self, cast: Cast, sign_in: SignIn, who: str | None, status: int) -> None:
        before = records(ALL)
        assert send(sign_in(getattr(cast, who) if who else None), self.url(), **GOOD).status_code == status
        assert records(ALL) == before

    def test_sent_again_it_happens_once(self, cast: Cast, sign_in: SignIn) -> None:
        once, client = uuid.uuid4(), sign_in(cast.staff)
        send(client, self.url(), once=once, **GOOD)
        after = records(ALL)
        assert send(client, self.url(), once=once, **GOOD).status_code == 302
        assert records(ALL) == after


class TestRemoving:
    @pytest.fixture
    def view(self, cast: Cast) -> SavedView:
        return make.SavedViewFactory(person=cast.staff)

    def test_it_works(self, cast: Cast, sign_in: SignIn, view: SavedView) -> None:
        send(sign_in(cast.staff), address("view_remove", view.pk))
        assert not SavedView.objects.exists()

    def test_a_bad_form_removes_nothing(self, cast: Cast, sign_in: SignIn, view: SavedView) -> None:
        assert sign_in(cast.staff).post(address("view_remove", view.pk), {}).status_code == 200
        assert SavedView.objects.exists()

    @pytest.mark.parametrize(
        ("who", "status"), [(None, 302), ("manager", 404), ("other_owner", 404), ("stranger", 404)]
    )
    def test_it_is_its_persons_alone(
        self, cast: Cast, sign_in: SignIn, view: SavedView, who: str | None, status: int
    ) -> None:
        client = sign_in(getattr(cast, who) if who else None)
        assert send(client, address("view_remove", view.pk)).status_code == status
        assert SavedView.objects.exists()

    def test_sent_again_it_is_gone(self, cast: Cast, sign_in: SignIn, view: SavedView) -> None:
        once, client = uuid.uuid4(), sign_in(cast.staff)
        send(client, address("view_remove", view.pk), once=once)
        after = records(ALL)
        assert send(client, address("view_remove", view.pk), once=once).status_code == 404
        assert records(ALL) == after
