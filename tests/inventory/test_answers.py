"""A blanket's four answers and the one label derived from them, from every situation that a barn knows."""

from collections.abc import Callable
from datetime import timedelta

import pytest

from inventory.enums import CareKind, CareStep, Keeping
from inventory.models import Blanket
from inventory.queries import blankets as queries
from tests import factories as make
from tests.cast import NOW, Cast

pytestmark = pytest.mark.django_db

HOUR = timedelta(hours=1)


def put(kind: Keeping, *, hours_ago: float = 1, **more: object) -> Callable[[Blanket], object]:
    return lambda blanket: make.PlacingFactory(blanket=blanket, kind=kind, since=NOW - hours_ago * HOUR, **more)


def work(kind: CareKind, **more: object) -> Callable[[Blanket], object]:
    return lambda blanket: make.CareJobFactory(blanket=blanket, kind=kind, **more)


def worn(**more: object) -> Callable[[Blanket], object]:
    return lambda blanket: make.WearingFactory(blanket=blanket, on_at=NOW - 3 * HOUR, **more)


WASH, REPAIR = CareKind.WASH, CareKind.REPAIR

SITUATIONS = {
    "never placed": ([], "rack dry clean sound ready"),
    "on its rack": ([put(Keeping.RACK)], "rack dry clean sound ready"),
    "worn": ([worn()], "on_horse dry clean sound on_horse"),
    "worn and soaked": ([worn(soaked_at=NOW)], "on_horse soaked clean sound on_horse"),
    "drying": ([put(Keeping.DRYING)], "drying drying clean sound drying"),
    "drying, soaked": ([put(Keeping.DRYING, soaked=True)], "drying soaked clean sound drying"),
    "dried long enough": ([put(Keeping.DRYING, hours_ago=13)], "rack dry clean sound ready"),
    "dried, but not yet long enough": ([put(Keeping.DRYING, hours_ago=11)], "drying drying clean sound drying"),
    "stored": ([put(Keeping.STORED)], "stored dry clean sound stored"),
    "at home": ([put(Keeping.HOME)], "home dry clean sound home"),
    "lent": ([put(Keeping.LENT)], "lent dry clean sound lent"),
    "lost": ([put(Keeping.LOST)], "lost dry clean sound lost"),
    "retired": ([put(Keeping.RETIRED)], "retired dry clean sound retired"),
    "wash asked for": ([work(WASH)], "rack dry wash_due sound ready"),
    "bagged": ([work(WASH, step=CareStep.BAGGED)], "bagged dry wash_due sound bagged"),
    "away": ([put(Keeping.RACK), work(WASH, step=CareStep.AWAY)], "away dry wash_due sound away"),
    "quoted": ([work(REPAIR, step=CareStep.QUOTED)], "away dry clean repair_due away"),
    "back, unchecked": ([work(WASH, step=CareStep.BACK)], "unchecked dry wash_due sound unchecked"),
    "bagged, with other work away": (
        [work(WASH, step=CareStep.AWAY), work(REPAIR, step=CareStep.BAGGED)],
        "away dry wash_due repair_due away",
    ),
    "lost on its way": ([work(WASH, step=CareStep.AWAY), put(Keeping.LOST)], "lost dry wash_due sound lost"),
    "checked in": (
        [work(WASH, step=CareStep.CHECKED, closed_at=NOW)],
        "rack dry clean sound ready",
    ),
    "torn and usable": ([work(REPAIR)], "rack dry clean repair_due ready"),
    "temporary fix": ([work(REPAIR, temporary_fix_until=NOW.date())], "rack dry clean temporary_fix ready"),
    "do not use": ([work(REPAIR, do_not_use=True)], "rack dry clean do_not_use do_not_use"),
    "do not use, worn": ([worn(), work(REPAIR, do_not_use=True)], "on_horse dry clean do_not_use do_not_use"),
    "do not use, in spite of a fix": (
        [work(REPAIR, do_not_use=True), work(REPAIR, part="strap", temporary_fix_until=NOW.date())],
        "rack dry clean do_not_use do_not_use",
    ),
    "everything at once": (
        [put(Keeping.DRYING, soaked=True), work(WASH), work(REPAIR)],
        "drying soaked wash_due repair_due drying",
    ),
}


@pytest.mark.parametrize("name", SITUATIONS)
def test_four_answers_and_one_label(cast: Cast, name: str) -> None:
    happened, answers = SITUATIONS[name]
    blanket = make.BlanketFactory(barn=cast.barn, proofed_on=NOW.date())
    for happen in happened:
        happen(blanket)
    known = queries.of(cast.barn).with_condition(cast.barn, NOW).get(pk=blanket.pk)
    assert " ".join((known.where, known.wet, known.clean, known.sound, known.state)) == answers
    assert not known.proofing_due


def test_nothing_of_another_barn_is_among_them(cast: Cast) -> None:
    found = queries.of(cast.barn).with_condition(cast.barn, NOW)
    assert {blanket.barn_id for blanket in found} == {cast.barn.pk}
    assert found.count() == 7


def test_one_query_whatever_happened(cast: Cast, django_assert_num_queries: Callable) -> None:
    for happened, _answers in list(SITUATIONS.values()):
        blanket = make.BlanketFactory(barn=cast.barn)
        for happen in happened:
            happen(blanket)
    with django_assert_num_queries(1):
        assert len(queries.of(cast.barn).with_condition(cast.barn, NOW)) == 7 + len(SITUATIONS)
