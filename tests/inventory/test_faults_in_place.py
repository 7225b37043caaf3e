"""A fault stands at its field, and the page opens there: the first fault of a short form, the links of a long one."""

import re
from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from barnrugs.barns.models import Person
from tests.cast import Cast
from tests.inventory.lists import line_of, make_list
from tests.writes import typed

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person | None], Client]


def refused(client: Client, url: str, **fields: str) -> str:
    answer = client.post(url, typed(client, url, **fields))
    assert answer.status_code == 200
    return str(answer.content.decode())


def opens_at(page: str) -> list[str]:
    """The elements that ask for the focus."""
    return re.findall(r"<[^<>]*\bautofocus\b[^<>]*>", page)


def test_not_done_without_a_reason_opens_at_the_first_reason(cast: Cast, sign_in: SignIn) -> None:
    make_list(cast)
    page = refused(sign_in(cast.staff), reverse("line_not_done", args=[cast.barn.slug, line_of(cast).pk]))
    why = "Say why, so that the owner and the next shift know."
    assert page.count(why) == 1
    assert page.index("<legend>Why</legend>") < page.index(why) < page.index('name="reason"')
    assert 'id="id_reason_0"' in opens_at(page)[0]


def test_something_else_begins_with_links_that_lead_to_its_choices(cast: Cast, sign_in: SignIn) -> None:
    make_list(cast)
    page = refused(sign_in(cast.staff), reverse("line_other", args=[cast.barn.slug, line_of(cast).pk]))
    (first,) = opens_at(page)
    assert 'role="alert"' in first
    for anchor in re.findall(r'<a href="#(id_[^"]*)"', page):
        assert f'id="{anchor}"' in page
    assert page.count("Choose one.") == 2
    assert page.index("<legend>Which instead</legend>") < page.rindex("Choose one.") < page.index('name="instead"')


def test_a_hand_check_without_a_tap_opens_at_the_five_and_none_looks_chosen(cast: Cast, sign_in: SignIn) -> None:
    page = refused(sign_in(cast.staff), reverse("hand_check", args=[cast.barn.slug, cast.owners_horse.pk]))
    said = "Say what your hand felt: tap one of the five."
    assert page.index('role="group"') < page.rindex(said) < page.index('name="felt"')
    assert ['value="cold"' in one for one in opens_at(page)] == [True]
    styles = re.findall(r'<button class="([^"]*)" name="felt"', page)
    assert styles == ["btn btn-field second"] * 5


def test_cool_too_has_its_what_to_do(cast: Cast, sign_in: SignIn) -> None:
    page = sign_in(cast.staff).get(reverse("hand_check", args=[cast.barn.slug, cast.owners_horse.pk]))
    assert "<dt>Cool</dt><dd>Look whether it is wet, give hay, and feel it again within the hour.</dd>" in (
        page.content.decode()
    )


@pytest.mark.parametrize("use", ["", "?use=usable"])
def test_damage_begins_with_links_that_lead_to_its_choices(cast: Cast, sign_in: SignIn, use: str) -> None:
    url = reverse("damage", args=[cast.barn.slug, cast.owners_blanket.pk]) + use
    given = {"use": "usable"} if use else {}
    page = refused(sign_in(cast.staff), url, **given)
    assert 'role="alert"' in opens_at(page)[0]
    assert '<a href="#id_part_0">' in page
    for anchor in re.findall(r'<a href="#(id_[^"]*)"', page):
        assert page.count(f'id="{anchor}"') == 1
    assert page.index("<legend>What is wrong?</legend>") < page.rindex("Choose what is wrong.")
