"""Addresses that nobody's page makes: answered in a sentence or as not found, never by a fault of ours."""

import pytest
from django.test import Client

from tests.cast import Cast
from tests.inventory.sending import address

pytestmark = pytest.mark.django_db

FAR_DAYS = ("9999-12-31", "0001-01-01", "0001-01-02")


@pytest.fixture
def manager(cast: Cast, sign_in) -> Client:
    return sign_in(cast.manager)


@pytest.mark.parametrize("day", FAR_DAYS)
@pytest.mark.parametrize("name", ["change_list", "list_paper", "list_anew", "list_note"])
def test_no_list_is_made_of_a_far_day(manager: Client, name: str, day: str) -> None:
    assert manager.get(address(name, day, "night_check")).status_code == 404


@pytest.mark.parametrize("day", FAR_DAYS)
@pytest.mark.parametrize("asked", ["since", "until"])
@pytest.mark.parametrize("name", ["journal", "journal_file"])
def test_the_journal_of_a_far_day_says_which_days_there_are(manager: Client, name: str, asked: str, day: str) -> None:
    answer = manager.get(address(name), {asked: day})
    assert answer.status_code == 200
    if name == "journal":
        assert answer.context["form"].errors[asked] == ["From 1990 to 2199."]


@pytest.mark.parametrize("owner", ["9" * 19, "1" + "0" * 30, "9" * 5000])
def test_the_queues_know_no_owner_of_such_a_number(manager: Client, owner: str) -> None:
    answer = manager.get(address("care"), {"owner": owner})
    assert (answer.status_code, answer.context["asked"].owner) == (200, "")


@pytest.mark.parametrize(("name", "query"), [("care", "q"), ("blankets", "q"), ("tag", "tag"), ("journal", "acts")])
def test_no_address_holds_a_nul(manager: Client, name: str, query: str) -> None:
    assert manager.get(address(name), {query: "AB\0CD"}).status_code == 404


def test_no_scanned_tag_holds_a_nul_or_a_barn_of_such_a_number(cast: Cast, manager: Client) -> None:
    assert manager.get(f"/t/{cast.barn.pk}/AB%00CD").status_code == 404
    assert manager.get("/t/1000000000000000000000000000000/ABCDE").status_code == 404


def test_a_percent_sign_may_be_asked_for(manager: Client) -> None:
    assert manager.get(address("blankets"), {"q": "%00"}).status_code == 200


def test_a_fit_note_is_taken_from_no_horse_of_such_a_number(cast: Cast, manager: Client) -> None:
    assert manager.get(address("fit_note_add", cast.worn.pk), {"horse": "9" * 5000}).status_code == 200
