"""A weather file becomes a barn's hours: in chunks, whole or not at all, again without harm; and is asked for."""

from datetime import datetime, timedelta
from io import StringIO

import pytest
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from barnrugs.barns import access
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn, JournalEntry
from barnrugs.weather import shipped
from barnrugs.weather.domain import source as domain
from barnrugs.weather.domain.source import CHUNK, load_year
from barnrugs.weather.models import WeatherHour, WeatherSource
from barnrugs.weather.overlay import SLEET_NIGHT, demo_night, demo_year, night_start
from barnrugs.weather.queries import hours_between, source_of, spell_between
from barnrugs.weather.spell import WeatherGap, spell_of
from tests.factories import BarnFactory, PersonFactory
from tests.weather import files

pytestmark = pytest.mark.django_db
START = night_start(SLEET_NIGHT, 2026)
MORNING = START + timedelta(hours=18)


@pytest.fixture
def barn() -> Barn:
    return BarnFactory()


@pytest.fixture
def loaded(barn: Barn) -> WeatherSource:
    return load_year(barn, demo_year(), name="Alaskan coast")


def test_a_loaded_year_answers_what_the_file_answers(barn: Barn, loaded: WeatherSource) -> None:
    assert hours_between(barn, START, MORNING) == list(demo_night())
    for month in range(1, 13):
        start = datetime(2028, month, 28, 20, tzinfo=demo_year().site.zone)
        end = start + timedelta(hours=72)
        spell, read = spell_between(loaded, start, end), spell_of(demo_year(), start, end)
        assert (spell.hours, spell.unknown, spell.note) == (read.hours, read.unknown, read.note)


def test_the_weather_of_another_date_is_asked_for_by_like(barn: Barn, loaded: WeatherSource) -> None:
    summer = START + timedelta(days=180)
    asked = hours_between(barn, summer, summer + timedelta(hours=18), like=START.date())
    assert [hour.air_c for hour in asked] == [hour.air_c for hour in demo_night()]
    assert asked[0].time == summer


@pytest.mark.parametrize("hours", [1, 72])
def test_two_queries_whatever_the_length(barn: Barn, loaded: WeatherSource, hours: int) -> None:
    with CaptureQueriesContext(
        connection,
    ) as asked:
        hours_between(barn, START, START + timedelta(hours=hours))
    assert len(asked) == 2


def test_a_barn_without_a_file_is_told_so(barn: Barn) -> None:
    with pytest.raises(WeatherGap, match="has no weather file"):
        hours_between(barn, START, MORNING)


def test_another_barns_file_is_not_this_barns(barn: Barn, loaded: WeatherSource) -> None:
    other = BarnFactory()
    assert source_of(other) is None
    stranger, owner = PersonFactory(barn=other, is_manager=True), PersonFactory(barn=barn, is_owner=True)
    assert set(access.rows(stranger, WeatherSource)) == set()
    assert set(access.rows(owner, WeatherSource)) == {loaded}
    assert not access.may(owner, "change", loaded)
    assert access.may(PersonFactory(barn=barn, is_manager=True), "change", loaded)


def test_no_write_is_larger_than_a_chunk(barn: Barn, monkeypatch: pytest.MonkeyPatch) -> None:
    sizes: list[int] = []
    write = WeatherHour.objects.bulk_create

    def counted(rows, **options):  # the call itself is real
        kept = list(rows)
        sizes.append(len(kept))
        return write(kept, **options)

    monkeypatch.setattr(WeatherHour.objects, "bulk_create", counted)
    load_year(barn, demo_year(), name="Alaskan coast")
    assert (max(sizes), sum(sizes)) == (CHUNK, 8760)


def test_loaded_again_it_replaces_and_nothing_is_left_over(barn: Barn, loaded: WeatherSource) -> None:
    again = load_year(barn, demo_year(), name="Alaskan coast")
    assert list(WeatherSource.objects.all()) == [again]
    assert WeatherHour.objects.count() == 8760
    assert hours_between(barn, START, MORNING) == list(demo_night())


def test_a_load_that_breaks_off_never_counts_and_is_cleared_by_a_later_one(
    barn: Barn, loaded: WeatherSource, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("power cut")

    with monkeypatch.context() as patched:
        patched.setattr(domain, "make_count", broken)
        with pytest.raises(RuntimeError):
            load_year(barn, shipped.year_of(shipped.CAROLINA), name="Alaskan coast")
    assert source_of(barn) == loaded
    assert hours_between(barn, START, MORNING) == list(demo_night())
    WeatherSource.objects.filter(loaded_at=None).update(begun_at=START - timedelta(days=365))
    load_year(barn, demo_year(), name="Another")
    assert set(WeatherSource.objects.values_list("name", flat=True)) == {"Alaskan coast", "Another"}
    assert WeatherHour.objects.count() == 2 * 8760


def test_a_person_who_loads_a_file_stands_in_the_journal(barn: Barn) -> None:
    manager = PersonFactory(barn=barn, is_manager=True)
    load_year(barn, demo_year(), name="Alaskan coast", actor=Actor(manager))
    entry = JournalEntry.objects.get()
    assert (entry.action, entry.person_key, entry.after) == ("weather_loaded", manager.key, {"name": "Alaskan coast"})


def test_a_file_without_a_name_is_refused_and_leaves_nothing(barn: Barn) -> None:
    with pytest.raises(ValidationError):
        load_year(barn, demo_year(), name="")
    assert not WeatherSource.objects.exists()


@pytest.mark.parametrize(
    "wrong", [{"wind_10m_ms": -1}, {"rh": 1.2}, {"rh": -0.1}, {"precip_mm": -1}, {"clear_night": 1.1}]
)
def test_the_database_refuses_hours_that_cannot_be(loaded: WeatherSource, wrong: dict[str, float]) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        WeatherHour.objects.create(source=loaded, time=START, **wrong)


def test_the_database_refuses_an_hour_twice_and_a_name_twice(loaded: WeatherSource) -> None:
    hour = loaded.hours.first()
    with pytest.raises(IntegrityError), transaction.atomic():
        WeatherHour.objects.create(source=loaded, time=hour.time)
    loaded.pk = None
    with pytest.raises(IntegrityError), transaction.atomic():
        loaded.save(force_insert=True)


def test_the_command_loads_a_file(barn: Barn) -> None:
    said = StringIO()
    call_command("load_weather", barn.slug, str(shipped.path_of(shipped.CAROLINA)), stdout=said)
    assert said.getvalue().startswith("723170TYA.CSV: 8,760 hours at Greensboro Piedmont Triad Int, NC. Precipitation")
    assert source_of(barn).name == "723170TYA.CSV"


def test_the_command_tells_a_damaged_files_faults_a_line_each_and_exits_with_2(barn: Barn, tmp_path) -> None:
    rows = list(files.lines(shipped.ALASKA))
    rows[9] += ",1"
    rows[20] = rows[20].replace("1012", "1012,", 1)
    path = files.write(rows, tmp_path / "year.csv")
    with pytest.raises(CommandError) as caught:
        call_command("load_weather", barn.slug, str(path))
    assert caught.value.returncode == 2
    assert str(caught.value).splitlines() == [
        "year.csv: line 10: 69 columns instead of 68",
        "year.csv: line 21: 69 columns instead of 68",
    ]
    assert not WeatherSource.objects.exists()


def test_the_command_knows_no_other_barn() -> None:
    with pytest.raises(CommandError, match="There is no barn nowhere") as caught:
        call_command("load_weather", "nowhere", str(shipped.path_of(shipped.ALASKA)))
    assert caught.value.returncode == 2
