"""manage.py make_lists, as cron runs it."""

import io

import pytest
from django.core.management import call_command

from barnrugs.weather.domain.source import load_year
from barnrugs.weather.overlay import demo_year
from inventory.domain import sessions
from inventory.models import ChangeList, ListLine
from tests.inventory.lists import now

pytestmark = pytest.mark.django_db


def run():
    out = io.StringIO()
    call_command("make_lists", stdout=out)
    return out.getvalue()


def test_every_barn_with_weather_gets_the_coming_days_lists_once(cast):
    load_year(cast.barn, demo_year(), name="A year")
    assert "Home Barn" in run()
    slots = {(slot.day, slot.session) for slot in sessions.coming(cast.barn, now())}
    assert set(ChangeList.objects.values_list("barn", "day", "session")) == {
        (cast.barn.pk, day, session) for day, session in slots
    }
    before = list(ListLine.objects.order_by("pk").values())
    assert before
    assert "0 lists made" in run()
    assert list(ListLine.objects.order_by("pk").values()) == before


def test_a_barn_without_weather_is_left_alone(cast):
    assert run() == ""
    assert not ChangeList.objects.exists()
