"""The database's shape: one direction, nothing pending, named, and the way back as good as the way there."""

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.conf import settings
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.models import ForeignKey, Model
from django.utils import timezone

from barnrugs.weather import notes
from barnrugs.weather.models import WeatherSource
from tests.factories import BarnFactory

OURS = ("barns", "weather", "horses", "inventory")
"""Lowest first: an app refers to itself and to those before it."""


def references() -> Iterator[tuple[type[Model], ForeignKey]]:
    for label in OURS:
        for model in apps.get_app_config(label).get_models(include_auto_created=True):
            yield from ((model, field) for field in model._meta.get_fields() if isinstance(field, ForeignKey))


def test_keys_refer_downwards_as_imports_do() -> None:
    known = list(references())
    upwards = {
        f"{model._meta.label}.{field.name}"
        for model, field in known
        if field.related_model._meta.app_label in OURS
        and OURS.index(model._meta.app_label) < OURS.index(field.related_model._meta.app_label)
    }
    assert upwards == set()
    assert len(known) > 30


def test_no_migration_is_pending(db: None) -> None:
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def migrations() -> list[tuple[str, str]]:
    return sorted(key for key in MigrationLoader(None, ignore_no_migrations=True).disk_migrations if key[0] in OURS)


def test_migrations_are_named_for_what_they_do() -> None:
    assert [name for _, name in migrations() if re.search(r"_auto_|\d{8}_\d{4}", name)] == []


def manage(database_url: str, *words: str) -> str:
    done = subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=settings.BASE_DIR,
        env={**os.environ, "DATABASE_URL": database_url, "BARNRUGS_MODE": "development"},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture
def scratch_url(tmp_path: Path, database_url: str) -> Iterator[str]:
    """An empty database beside the tests' own."""
    if connection.vendor == "sqlite":
        yield f"sqlite://{tmp_path}/scratch.sqlite3"
        return
    name = f"{connection.settings_dict['NAME']}_scratch"
    with connection.cursor() as cursor:
        cursor.execute(f'CREATE DATABASE "{name}"')
    yield database_url.replace(f"/{connection.settings_dict['NAME']}?", f"/{name}?")
    with connection.cursor() as cursor:
        cursor.execute(f'DROP DATABASE "{name}"')


@pytest.mark.django_db(transaction=True)
def test_what_was_said_of_a_weather_file_outlives_its_notes_becoming_codes() -> None:
    def to(name: str) -> Any:
        call_command("migrate", "weather", name, verbosity=0)
        state = MigrationLoader(connection).project_state([("weather", name)])
        return state.apps.get_model("weather", "WeatherSource").objects

    barn = BarnFactory()
    try:
        sources = to("0001_typical_years")
        facts = {"kind": "epw", "latitude": 60, "longitude": -150, "utc_offset_h": -9, "begun_at": timezone.now()}
        for name, note in (("noted", "The rain is invented."), ("bare", "")):
            sources.create(barn_id=barn.pk, name=name, note=note, **facts)
        to("0002_notes_are_codes")
        assert {source.name: source.note for source in WeatherSource.objects.all()} == {
            "noted": "The rain is invented.",
            "bare": "",
        }
        moved = [{"code": "moved", "start": [1, 8, 16], "now": [11, 28, 16]}]
        WeatherSource.objects.filter(name="bare").update(notes=moved)
        assert dict(to("0001_typical_years").values_list("name", "note")) == {
            "noted": "The rain is invented.",
            "bare": notes.say(moved),
        }
    finally:
        call_command("migrate", verbosity=0)


def test_every_migration_can_be_taken_back_and_done_again(scratch_url: str) -> None:
    manage(scratch_url, "migrate", "-v0")
    manage(scratch_url, "check", "--database", "default")
    for label in reversed(OURS):
        manage(scratch_url, "migrate", label, "zero", "-v0")
    assert not re.search(r"\[X\]", manage(scratch_url, "showmigrations", *OURS))
    manage(scratch_url, "migrate", "-v0")
    manage(scratch_url, "check", "--database", "default")
    assert not re.search(r"\[ \]", manage(scratch_url, "showmigrations", *OURS))
