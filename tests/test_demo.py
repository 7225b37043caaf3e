"""The demo barn: what it holds, that it harms nothing, and that its list and its pages say the same."""

import http.client
import os
import re
import socket
import subprocess
import sys
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from http.cookies import SimpleCookie
from itertools import pairwise
from pathlib import Path
from urllib.parse import urlencode

import pytest
from django.conf import settings
from django.core.management.base import CommandError
from django.db import connection, transaction
from django.db.models import Model
from django.test import override_settings

from barnrugs.barns.models import Barn, JournalEntry, JournalSubject, Person, User
from barnrugs.matching.words import Build, Clip, Habit, Need, Shelter
from barnrugs.weather.models import WeatherHour
from barnrugs.weather.overlay import SLEET_NIGHT, demo_night, demo_year
from barnrugs.weather.queries import hours_between
from horses.models import Coat, Horse, HorseOwner, Paddock, PaddockStay
from inventory import demo, tags
from inventory.demo import drawings, happenings, night, phone, printed, wardrobe
from inventory.demo.people import PASSWORD
from inventory.domain import advice, snapshot
from inventory.domain.precedence import Against
from inventory.enums import DecidedBy, QuestionKind, Sound, Wet, Where
from inventory.management.commands import demo as command
from inventory.models import Batch, Blanket, CareJob, Chart, Picture, Question, Wearing
from inventory.queries import blankets

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 20, tzinfo=UTC)
"""11:00 in the barn."""

KIND_WORDS = ("Turnout", "Rain", "Sheet", "Stable", "Liner", "Neck")
BEGUN = re.compile(r"^([A-Z][a-z]+) +(\d+) ")
"""The first of a horse's lines in the list: name and stall."""


@pytest.fixture(scope="module")
def barn(
    django_db_setup: None, django_db_blocker: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Barn]:
    media = override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("pictures"))
    with media, django_db_blocker.unblock(), transaction.atomic():
        made = demo.make(NOW)
        demo.lay_night(made, NOW)
        yield made
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def listed(barn: Barn) -> list[str]:
    return printed.tonight(barn, NOW)


def test_what_is_printed_names_a_veterinarians_note_until_its_last_day_is_over(barn: Barn, listed: list[str]) -> None:
    note = "Veterinarian's note, above this advice:"
    assert note in "\n".join(listed)
    with transaction.atomic():
        Horse.objects.filter(barn=barn).update(vet_until=NOW - timedelta(days=3))
        assert note not in "\n".join(printed.tonight(barn, NOW))
        transaction.set_rollback(True)


def values(model: type[Model], field: str) -> set[object]:
    return set(model.objects.values_list(field, flat=True))


def test_the_barn_is_as_large_as_promised(barn: Barn) -> None:
    sizes = {model.__name__: model.objects.filter(barn=barn).count() for model in (Horse, Blanket, Paddock, Person)}
    assert sizes == {"Horse": 28, "Blanket": 130, "Paddock": 4, "Person": 7}
    assert barn.time_zone == "America/Anchorage"


def test_seven_people_hold_three_roles_and_one_is_staff_and_owner(barn: Barn) -> None:
    roles = [frozenset(person.roles) for person in Person.objects.filter(barn=barn)]
    assert set().union(*roles) == {"manager", "staff", "owner"}
    assert roles.count(frozenset({"staff", "owner"})) == 1
    assert HorseOwner.objects.filter(lessee=True).count() == 1


def test_every_tag_is_right_and_there_once(barn: Barn) -> None:
    found = list(Blanket.objects.values_list("tag", flat=True))
    assert [tag for tag in found if not tags.is_tag(tag)] == []
    assert len(set(found)) == 130


def test_horses_of_every_sort(barn: Barn) -> None:
    assert values(Coat, "clip") == set(Clip)
    assert values(Horse, "build") == set(Build)
    assert values(Paddock, "shelter") == set(Shelter)
    for flag in (*Habit, *Need):
        assert Horse.objects.filter(**{flag.value: True}).exists(), flag
    born = values(Horse, "birth_year")
    assert (min(born), max(born)) == (2000, 2026)
    assert len(values(Horse, "liner_preference")) > 1
    assert Horse.objects.exclude(vet_note="").count() == 2
    assert Horse.objects.exclude(stays__isnull=False).count() == 4
    assert PaddockStay.objects.filter(until__isnull=True).count() == 24


def test_blankets_in_every_state(barn: Barn) -> None:
    found = blankets.of(barn).with_condition(barn, NOW)
    assert {blanket.where for blanket in found} == set(Where) - {Where.RETIRED}
    assert {blanket.wet for blanket in found} == set(Wet)
    assert {blanket.sound for blanket in found} == set(Sound)
    assert {blanket.clean for blanket in found} == {"clean", "wash_due"}
    assert found.filter(proofing_due=True).exists()
    assert [blanket.where for blanket in found].count(Where.LOST) == 2
    assert found.filter(owner__isnull=True, usual_horse__isnull=True).count() == 12


def test_no_fill_shows_where_there_is_none(barn: Barn) -> None:
    thin = CareJob.objects.filter(barn=barn, blanket__fill_g=0)
    assert thin.exclude(note="").exists()
    assert not thin.filter(note__contains="fill").exists()


def test_each_horse_has_two_to_six(barn: Barn) -> None:
    counts = {horse.name: horse.blankets.count() for horse in Horse.objects.filter(barn=barn)}
    assert {name: count for name, count in counts.items() if not 2 <= count <= 6} == {}


def test_what_happened_is_in_the_journal(barn: Barn) -> None:
    worn = Wearing.objects.filter(off_at__isnull=True)
    assert worn.count() == 24
    told = JournalSubject.objects.filter(kind="blanket", entry__action="blanket_put_on").values("subject_id")
    assert not worn.exclude(blanket_id__in=told).exists()
    taken_off = JournalEntry.objects.filter(action="blanket_taken_off")
    assert taken_off.count() == Wearing.objects.filter(off_at__isnull=False).count()
    assert CareJob.objects.exclude(moves__isnull=False).count() == 0


def everything() -> Mapping[str, int]:
    models = (Barn, User, Person, Horse, Blanket, Wearing, CareJob, JournalEntry, WeatherHour)
    return {model.__name__: model.objects.count() for model in models}


def test_made_again_it_stays_as_it_is(barn: Barn) -> None:
    before = everything()
    assert demo.make(NOW + timedelta(hours=5)) == barn
    demo.lay_night(barn, NOW + timedelta(hours=5))
    assert everything() == before


def test_the_hard_night_stands_on_the_night_at_hand(barn: Barn) -> None:
    start, end = advice.night(barn, NOW)
    assert (start, end) == (datetime(2026, 11, 26, 1, tzinfo=UTC), datetime(2026, 11, 26, 16, tzinfo=UTC))
    here, hard = (
        [(hour.air_c, hour.wind_10m_ms, hour.precip_mm, hour.precip_kind) for hour in hours]
        for hours in (hours_between(barn, start, end), demo_night(hours=15))
    )
    assert here == hard


@pytest.mark.parametrize("start", ["2026-12-31T23", "2028-02-29T16", "2026-07-01T03", "2026-01-08T16"])
def test_the_year_is_moved_whole(start: str) -> None:
    year = demo_year()
    at = datetime.fromisoformat(start).replace(tzinfo=year.site.zone)
    moved = night.moved(year, at)
    assert set(moved.by_slot) == set(year.by_slot)
    assert sorted(hour.air_c for hour in moved.hours) == sorted(hour.air_c for hour in year.hours)
    first = next(hour for hour in moved.hours if hour.slot.hour == at.hour and hour.precip_mm == 1.4)
    assert (first.slot.month, first.slot.day) == (at.month, min(at.day, 28) if at.month == 2 else at.day)
    assert first.air_c == year.by_slot[SLEET_NIGHT.begins].air_c


@pytest.mark.parametrize(
    ("at", "hours"),
    [
        ("2026-11-25T07:00", ("16:00", 15)),
        ("2026-11-25T15:30", ("16:00", 15)),
        ("2026-11-25T20:50", ("20:00", 11)),
        ("2026-11-26T03:00", ("03:00", 4)),
        ("2026-11-26T04:00", ("16:00", 15)),
    ],
)
def test_tonight_is_the_rest_of_this_night_or_the_next(barn: Barn, at: str, hours: tuple[str, int]) -> None:
    start, end = advice.night(barn, datetime.fromisoformat(at).replace(tzinfo=barn.zone))
    assert (f"{start.astimezone(barn.zone):%H:%M}", (end - start) / timedelta(hours=1)) == hours


def test_the_list_fits_a_hundred_columns_and_names_every_horse(listed: list[str]) -> None:
    assert [line for line in listed if len(line) > 100] == []
    found = [match for match in map(BEGUN.match, listed) if match]
    assert [match[1] for match in found] == list(Horse.objects.values_list("name", flat=True))
    assert [match[2] for match in found] == [str(number) for number in range(1, 29)]


def test_it_speaks_the_barns_units_throughout(barn: Barn, listed: list[str]) -> None:
    assert barn.units == "us"
    assert [line for line in listed if "°C" in line] == []


def test_no_blanket_is_given_twice_and_somebody_goes_short(listed: list[str]) -> None:
    rules = [number for number, line in enumerate(listed) if line.startswith("---")]
    words = " ".join(listed[rules[0] : rules[1]]).split()
    given = [word for word, kind in pairwise(words) if tags.is_tag(word) and kind in KIND_WORDS]
    assert len(given) == len(set(given)) >= 10
    assert "go short" in listed[rules[1] + 1]


def manage(folder: Path, *words: str, **environ: str) -> subprocess.CompletedProcess[str]:
    clean = {name: value for name, value in os.environ.items() if name not in ("DATABASE_URL", "BARNRUGS_MODE")}
    return subprocess.run(
        [sys.executable, "manage.py", "demo", *words],
        cwd=settings.BASE_DIR,
        env={**clean, "BARNRUGS_DATA": str(folder), **environ},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )


@pytest.mark.parametrize(
    "environ",
    [
        {"DATABASE_URL": "sqlite:////tmp/a-barn-of-its-own.sqlite3"},
        {"BARNRUGS_MODE": "development"},
        {"BARNRUGS_MODE": "development", "DATABASE_URL": "sqlite:////tmp/a-barn-of-its-own.sqlite3"},
    ],
    ids=["a database", "a mode", "both"],
)
def test_any_other_database_is_refused_with_a_sentence(tmp_path: Path, environ: dict[str, str]) -> None:
    told = manage(tmp_path, "--no-serve", **environ)
    assert told.returncode != 0
    assert "DATABASE_URL" in told.stderr
    assert "Traceback" not in told.stderr
    assert told.stdout == ""
    assert not Path("/tmp/a-barn-of-its-own.sqlite3").exists()


def test_the_tests_own_database_is_refused() -> None:
    with pytest.raises(CommandError, match="leaves every other alone"):
        command.refuse_other_databases()


@pytest.fixture(scope="module")
def first_run(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    folder = tmp_path_factory.mktemp("demo")
    told = manage(folder, "--no-serve")
    assert (told.returncode, told.stderr) == (0, "")
    return folder, told.stdout


def body(text: str) -> str:
    """The list without its head, which holds the hour."""
    return text.partition("HORSE")[2]


def test_run_again_it_says_the_same(first_run: tuple[Path, str], tmp_path: Path) -> None:
    folder, text = first_run
    again, elsewhere = manage(folder, "--no-serve"), manage(tmp_path, "--no-serve")
    assert (again.returncode, again.stderr) == (0, "")
    assert body(again.stdout) == body(text) == body(elsewhere.stdout)
    assert len(body(text).splitlines()) > 56


class Browser:
    """Just enough of one for a server without a test client: a host, a port and cookies."""

    def __init__(self, port: int) -> None:
        self.port, self.cookies = port, SimpleCookie()

    def ask(self, method: str, path: str, fields: Mapping[str, str] | None = None) -> tuple[int, str, str]:
        talk = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        headers = {"Cookie": "; ".join(f"{name}={held.value}" for name, held in self.cookies.items())}
        if fields:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        talk.request(method, path, urlencode(fields or {}) if fields else None, headers)
        answer = talk.getresponse()
        for name, value in answer.getheaders():
            if name == "Set-Cookie":
                self.cookies.load(value)
        text = answer.read().decode()
        talk.close()
        return answer.status, answer.getheader("Location") or "", text


def free_port() -> int:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        return held.getsockname()[1]


@pytest.fixture
def served(first_run: tuple[Path, str]) -> Iterator[tuple[int, str]]:
    """The demo served by its own command, and all that it said before."""
    port = free_port()
    clean = {name: value for name, value in os.environ.items() if name not in ("DATABASE_URL", "BARNRUGS_MODE")}
    process = subprocess.Popen(
        [sys.executable, "manage.py", "demo", "--port", str(port)],
        cwd=settings.BASE_DIR,
        env={**clean, "BARNRUGS_DATA": str(first_run[0])},
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    told = []
    for line in process.stdout:
        told.append(line)
        if line.startswith("Password"):
            break
    yield port, "".join(told)
    process.terminate()
    process.wait(timeout=20)
    process.stdout.close()


def test_what_is_printed_is_what_is_served(served: tuple[int, str]) -> None:
    port, told = served
    assert f"http://127.0.0.1:{port}/" in told
    assert f"Password:    {PASSWORD}" in told
    browser = Browser(port)
    status, _, page = browser.ask("GET", "/account/login/")
    assert status == 200
    sheet = re.search(r'href="(/static/[^"]+\.css)"', page)
    assert sheet is not None
    assert browser.ask("GET", sheet[1])[0] == 200
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
    fields = {"login": "marit", "password": PASSWORD, "csrfmiddlewaretoken": token[1]}
    assert browser.ask("POST", "/account/login/", fields)[0] == 302
    status, _, page = browser.ask("GET", f"/barns/{demo.SLUG}/tonight/")
    assert status == 200
    given = {tag for tag in re.findall(r"\b\w{5}\b", told.split("-" * 100)[1]) if tags.is_tag(tag)}
    assert {name for name in re.findall(r"^([A-Z][a-z]+) +\d+ ", told, re.MULTILINE) if name not in page} == set()
    assert {tag for tag in given if tag not in page} == set()
    assert len(given) > 10


def test_nobody_outside_this_computer_is_served() -> None:
    server = command.bind(free_port())
    assert server.server_address[0] == "127.0.0.1"
    server.server_close()


def test_a_taken_port_gives_way_to_the_next_free_one(monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        held.listen()
        taken = held.getsockname()[1]
        monkeypatch.setattr(command, "PORT", taken)
        server = command.bind(None)
        assert taken < server.server_port <= taken + command.PORTS_TRIED
        server.server_close()
        with pytest.raises(CommandError, match=f"Port {taken} is taken"):
            command.bind(taken)


def test_the_password_is_kept_out_of_the_database(barn: Barn) -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT password FROM barns_user WHERE username = 'marit'")
        assert PASSWORD not in cursor.fetchone()[0]


# Every page has something on it


def test_one_chart_is_obeyed_one_contradicts_the_advice_and_one_waits_to_be_read_again(barn: Barn) -> None:
    held = {chart.horse.name if chart.horse else "": chart for chart in Chart.objects.filter(barn=barn)}
    assert set(held) == {"Juniper", "Quartz", "Dunlin", ""}
    assert [name for name, chart in held.items() if chart.read_again] == ["Dunlin"]
    found = advice.advise_barn(snapshot.read(barn, NOW), advice.forecast(barn, *advice.night(barn, NOW)))
    decisions = {line.horse.name: line.decision for line in found.lines if line.decision}
    assert {name for name, one in decisions.items() if one.by == DecidedBy.OWNER} == {"Juniper", "Quartz", "Dunlin"}
    assert not decisions["Juniper"].against
    assert [one.kind for one in decisions["Quartz"].against] == [Against.TOO_WARM]


def test_one_batch_is_away_one_is_back_and_partly_checked_in_and_one_is_past_its_day(barn: Barn) -> None:
    today = NOW.date()
    told = {
        (batch.to_whom, batch.due_on < today, batch.lines.exclude(outcome="").count(), batch.lines.count())
        for batch in Batch.objects.filter(barn=barn, handed_at__isnull=False)
    }
    assert told == {
        (happenings.CLEANER, True, 2, 4),
        (happenings.CLEANER, False, 0, 5),
        (happenings.MENDER, True, 0, 2),
    }


def test_hand_checks_have_moved_one_horses_band(barn: Barn) -> None:
    taken = snapshot.read(barn, NOW)
    moved = {one.horse.name: one.value.offset_c for one in taken.subjects}
    assert moved["Sorrel"] < -0.5
    assert abs(moved["Hazel"]) < 0.5
    assert moved["Alder"] == pytest.approx(0)


def test_a_phones_contradiction_waits_for_the_manager(barn: Barn) -> None:
    question = Question.objects.get(barn=barn, answer="")
    assert (question.kind, question.horse.name) == (QuestionKind.CONTRADICTS, "Kestrel")
    assert "is on Nettle" in question.sentence
    assert question.device.name == phone.NAME


def test_pictures_are_drawn_the_same_each_time_and_small(barn: Barn) -> None:
    kept = Picture.objects.filter(barn=barn)
    assert kept.count() == len(happenings.TORN) + len(happenings.WORN) + len(happenings.WITH_PICTURES)
    blanket = kept.first().blanket
    assert drawings.picture_of(blanket).sha == drawings.picture_of(blanket).sha
    assert drawings.picture_of(blanket).sha != drawings.picture_of(blanket, torn=True).sha
    assert max(len(drawings.picture_of(one.blanket).full) for one in kept) < 20_000
    looks = dict.fromkeys(wardrobe.COLOURS)
    assert len({drawings.picture_of(Blanket(looks=name, neck="none")).sha for name in looks}) == len(looks)
