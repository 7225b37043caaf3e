"""A list is made anew while somebody is just noting a line of it as done."""

import time
from threading import Thread

import pytest
from django.db import connection, transaction

from barnrugs.barns.journal import Actor
from inventory.domain import lists, sessions
from inventory.domain.advice import Conditions
from inventory.models import ListLine
from tests.cast import NOW, build_cast

pytestmark = pytest.mark.django_db(transaction=True)
COLD, WARM = Conditions(air_c=-12, wind_10m_ms=4), Conditions(air_c=20, wind_10m_ms=1)


def until_somebody_waits():
    """Until a session of this database waits for another one's lock."""
    for _try in range(200):
        with connection.cursor() as cursor:
            cursor.execute("SELECT count(*) FROM pg_locks WHERE NOT granted")
            if cursor.fetchone()[0]:
                return
        time.sleep(0.05)
    pytest.fail("Nobody waited.")


@pytest.mark.skipif(connection.vendor == "sqlite", reason="SQLite's writers take turns, so nothing can come between")
def test_a_line_noted_meanwhile_keeps_what_it_said(transactional_db):
    cast = build_cast()
    made = lists.ensure(cast.barn, sessions.at_hand(cast.barn, NOW), at=NOW, conditions=COLD)
    line = next(line for line in ListLine.objects.filter(change_list=made) if line.tags_to != line.tags_from)
    failed = []

    def make_anew():
        try:
            lists.make_anew(made, actor=Actor(cast.manager, now=NOW), at=NOW, conditions=WARM)
        except Exception as error:  # noqa: BLE001  shown below, in the thread that is listened to
            failed.append(error)
        finally:
            connection.close()

    other = Thread(target=make_anew)
    with transaction.atomic():
        lists.mark_done(line, actor=Actor(cast.staff, now=NOW))
        other.start()
        until_somebody_waits()
    other.join(timeout=20)
    assert not failed
    noted = ListLine.objects.get(pk=line.pk)
    assert (noted.outcome, noted.tags_to, noted.tags_done) == ("done", line.tags_to, line.tags_to)
    assert list(made.lines.filter(outcome="").exclude(tags_to=[])) == []
