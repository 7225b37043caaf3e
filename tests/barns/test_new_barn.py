"""`manage.py new_barn`: a barn and its first manager from the command line."""

import getpass
import io
import sys

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from barnrugs.barns.domain import invitations
from barnrugs.barns.models import Barn, JournalEntry, Person, User

PASSWORD = "oats before first light"
GIVEN = {"time_zone": "Europe/Oslo", "manager": "kim"}

pytestmark = pytest.mark.django_db


class AtTheKeyboard(io.StringIO):
    def isatty(self):
        return True


def run(name="Hollow Farm", **options):
    out = io.StringIO()
    call_command("new_barn", name, stdout=out, **{**GIVEN, **options})
    return out.getvalue()


def answering(monkeypatch, *answers):
    left = list(answers)
    monkeypatch.setattr(getpass, "getpass", lambda prompt: left.pop(0))
    monkeypatch.setattr(sys, "stdin", AtTheKeyboard())
    return left


def test_without_a_keyboard_it_prints_a_code_that_lets_the_manager_in():
    printed = run(invite=True)
    code = next(word for word in printed.split() if word.count("-") == 4)
    assert invitations.find(code, timezone.now()).person == Person.objects.get(is_manager=True)
    assert "/barns/hollow-farm/" in printed
    assert JournalEntry.objects.filter(action="barn_made").count() == 1
    assert not User.objects.exists()


def test_at_the_keyboard_it_asks_for_a_password_until_it_is_a_good_one(monkeypatch, capsys):
    left = answering(monkeypatch, "short", PASSWORD, "mistyped", PASSWORD, PASSWORD)
    assert "signs in as kim" in run()
    assert left == []
    assert Person.objects.get().user.check_password(PASSWORD)
    assert "too short" in capsys.readouterr().err


def test_somebody_known_manages_a_second_barn(monkeypatch):
    answering(monkeypatch, PASSWORD, PASSWORD)
    run()
    run("Second Farm", known=True)
    assert Person.objects.filter(user__username="kim").count() == 2


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        ({"time_zone": "Europe/Nowhere"}, "time zone"),
        ({"slug": "Hollow Farm"}, "small letters"),
        ({"name": "???"}, "small letters"),
        ({"manager": "two words", "invite": True}, "--manager"),
        ({"slug": "taken"}, "/barns/taken/ already"),
        ({"known": True}, "Nobody signs in here as kim"),
        ({"name": "x" * 81, "slug": "long"}, "80"),
        ({"name": "Hollow\nFarm", "slug": "hollow"}, "one line"),
        ({"manager_name": "Kim\rLee"}, "one line"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_code_2(options, sentence):
    run("Taken", slug="taken", invite=True)
    with pytest.raises(CommandError, match=sentence) as refused:
        run(**{"invite": not options.get("known"), **options})
    assert refused.value.returncode == 2
    assert Barn.objects.count() == 1


def test_a_sign_in_name_that_is_taken_is_not_taken_over(monkeypatch):
    User.objects.create_user("Kim", password=PASSWORD)
    answering(monkeypatch)
    with pytest.raises(CommandError, match="add --known") as refused:
        run()
    assert refused.value.returncode == 2
    assert not Barn.objects.exists()
