"""The weather page: which file is used and what it lacks; loading one works, is refused by line, happens once."""

import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from barnrugs.barns.models import JournalEntry
from barnrugs.weather import shipped
from barnrugs.weather.domain.source import load_year
from barnrugs.weather.models import WeatherHour, WeatherSource
from barnrugs.weather.overlay import demo_year
from barnrugs.weather.queries import source_of
from tests import factories as make
from tests.weather import files

pytestmark = pytest.mark.django_db
ALASKA = files.lines(shipped.ALASKA)


def url(name: str, *parts: object) -> str:
    return reverse(name, args=["home", *parts])


def send(client, rows, once=None, **fields):
    return client.post(
        url("weather_send"), {"once": str(once or uuid.uuid4()), "file": files.upload(rows, "coast.csv"), **fields}
    )


@pytest.fixture
def manager(cast, sign_in):
    return sign_in(cast.manager)


def test_without_a_file_the_page_says_what_to_do(cast, manager) -> None:
    page = manager.get(url("weather")).content.decode()
    assert "No weather file is loaded" in page
    assert url("weather_send") in page


def test_a_file_is_loaded_and_its_gaps_are_told(cast, manager) -> None:
    """8,011 hours without precipitation in the shipped Alaskan year, counted by a general reader too (test_precip)."""
    answer = send(manager, ALASKA, name="Windy coast")
    assert (answer.status_code, answer.url) == (302, url("weather"))
    source = source_of(cast.barn)
    assert (source.name, source.hours.count()) == ("Windy coast", 8760)
    page = manager.get(url("weather"))
    assert page.context["lacks"] == {"hours": 8760, "unusable": 0, "dry_unknown": 8504}
    for words in ("Windy coast", "Sand Point, AK", "8504", "8,011 missing in the file", "never taken for dry"):
        assert words in page.content.decode()
    entry = JournalEntry.objects.get(action="weather_loaded")
    assert (entry.person_key, entry.after) == (cast.manager.key, {"name": "Windy coast"})


def test_an_epw_file_is_loaded_under_its_own_name(cast, manager) -> None:
    assert send(manager, files.epw_lines(shipped.CAROLINA)).status_code == 302
    assert (source_of(cast.barn).name, source_of(cast.barn).kind) == ("coast.csv", "epw")


def test_a_long_name_of_the_place_is_cut(cast, manager) -> None:
    rows = [ALASKA[0].replace("SAND POINT", "Sand Point " * 30, 1), *ALASKA[1:]]
    assert send(manager, rows).status_code == 302
    assert source_of(cast.barn).place == ("Sand Point " * 30)[:120]


def test_every_fault_is_told_by_its_line_and_nothing_is_kept(cast, manager) -> None:
    rows = list(ALASKA)
    rows[9] += ",1"
    rows[20] = rows[20].replace("1012", "1012,", 1)
    answer = send(manager, rows)
    assert answer.status_code == 400
    assert [str(fault) for fault in answer.context["form"].faults] == [
        "line 10: 69 columns instead of 68",
        "line 21: 69 columns instead of 68",
    ]
    assert b"line 21: 69 columns instead of 68" in answer.content
    assert (WeatherSource.objects.count(), WeatherHour.objects.count()) == (0, 0)


@pytest.mark.parametrize("rows", [["<html>"], ["\x89PNG", "\0\0"], ["Kind,Size"]])
def test_what_is_no_weather_file_is_refused(cast, manager, rows: list[str]) -> None:
    answer = send(manager, rows)
    assert answer.status_code == 400
    assert answer.context["form"].errors["file"]


def test_more_than_twenty_megabytes_are_refused(cast, manager) -> None:
    answer = send(manager, ["x" * 1_000_000] * 21)
    assert answer.context["form"].errors["file"] == ["This file is larger than 20 MB."]


def test_a_form_without_a_file_says_so(cast, manager) -> None:
    answer = manager.post(url("weather_send"), {"once": str(uuid.uuid4())})
    assert (answer.status_code, answer.context["form"].errors["file"]) == (400, ["Choose a file."])


def test_sent_again_it_is_loaded_once(cast, manager) -> None:
    once = uuid.uuid4()
    assert [send(manager, ALASKA, once).status_code for _ in range(2)] == [302, 302]
    assert (WeatherSource.objects.count(), WeatherHour.objects.count()) == (1, 8760)
    assert JournalEntry.objects.filter(action="weather_loaded").count() == 1
    assert send(manager, files.lines(shipped.CAROLINA), once).status_code == 422


@pytest.mark.parametrize(("role", "status"), [("staff", 403), ("owner", 403), ("other_owner", 403), ("stranger", 404)])
def test_nobody_but_a_manager_loads_one(cast, sign_in, role: str, status: int) -> None:
    assert send(sign_in(getattr(cast, role)), ALASKA).status_code == status
    assert not WeatherSource.objects.exists()


def test_another_of_the_loaded_files_is_chosen(cast, manager) -> None:
    old, new = (make.WeatherSourceFactory(barn=cast.barn, name=name) for name in ("Old", "New"))
    assert source_of(cast.barn) == new
    fields = {"once": str(uuid.uuid4())}
    for _ in range(2):
        assert manager.post(url("weather_use", old.pk), fields).status_code == 302
    assert source_of(cast.barn) == old
    entry = JournalEntry.objects.get(action="weather_chosen")
    assert (entry.before, entry.after) == ({"name": "New"}, {"name": "Old"})
    again = manager.post(url("weather_use", old.pk), {"once": str(uuid.uuid4())}, follow=True)
    assert b"This file is used already." in again.content


def test_another_barns_file_cannot_be_chosen(cast, manager) -> None:
    theirs = make.WeatherSourceFactory(barn=cast.other.barn)
    assert manager.post(url("weather_use", theirs.pk), {"once": str(uuid.uuid4())}).status_code == 404
    assert theirs.name not in manager.get(url("weather")).content.decode()


def test_a_file_of_another_clock_is_pointed_out(cast, manager) -> None:
    make.WeatherSourceFactory(barn=cast.barn, utc_offset_h=-5)
    assert b"UTC-5 h, the barn&#x27;s standard time UTC-9 h" in manager.get(url("weather")).content
    make.WeatherSourceFactory(barn=cast.barn, utc_offset_h=-9)
    assert b"standard time" not in manager.get(url("weather")).content


@pytest.mark.parametrize("count", [1, 3])
def test_the_same_number_of_questions_for_any_number_of_files(cast, manager, count: int) -> None:
    for _ in range(count):
        make.WeatherSourceFactory(barn=cast.barn)
    with CaptureQueriesContext(connection) as asked:
        assert manager.get(url("weather")).status_code == 200
    assert len(asked) == 5


def test_the_page_tells_of_the_demos_year(cast, manager) -> None:
    load_year(cast.barn, demo_year(), name="Coast with invented rain")
    assert b"Coast with invented rain" in manager.get(url("weather")).content
