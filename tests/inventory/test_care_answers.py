"""An answer to a quote that was a mistake is taken back: by who gave it, while nothing was noted after it."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from django.test import Client

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from inventory.domain import care
from inventory.enums import CareDecision, CareKind, CareStep, CareWord
from inventory.models import CareJob
from tests.cast import NOW, Cast
from tests.inventory.care_walks import bring, take
from tests.inventory.sending import address
from tests.writes import Write, six_tests

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person | None], Client]


def quoted(cast: Cast) -> CareJob:
    manager = Actor(cast.manager, now=NOW)
    job = care.ask(cast.owners_blanket, CareKind.WASH, actor=manager)
    return bring(job, CareStep.QUOTED, manager)


def answered(cast: Cast, word: CareWord) -> CareJob:
    return take(quoted(cast), word, Actor(cast.owner, now=NOW))


def the_job(cast: Cast) -> int:
    return CareJob.objects.get(blanket=cast.owners_blanket).pk


TestWrites = six_tests(
    [
        Write(
            "care_answer_back",
            "care_answer_taken_back",
            by="owner",
            parts={"pk": the_job},
            bad={"once": "no such number"},
            at="once",
            others=404,
            set_up=lambda cast, word=word: answered(cast, word),
        )
        for word in care.ANSWERS
    ]
)


@pytest.mark.parametrize("word", care.ANSWERS)
def test_the_quote_stands_as_before_the_answer(cast: Cast, sign_in: SignIn, word: CareWord) -> None:
    job = quoted(cast)
    turn = job.turn
    moves = list(job.moves.values_list("pk", flat=True))
    take(job, word, Actor(cast.owner, now=NOW))
    page = sign_in(cast.owner).get(address("care_job", job.pk))
    assert address("care_answer_back", job.pk) in page.text
    care.take_back_answer(job, actor=Actor(cast.owner))
    job.refresh_from_db()
    assert (job.step, job.decision, job.quote) == (CareStep.QUOTED, CareDecision.WASH, Decimal("60.00"))
    assert job.turn == turn + 2
    assert list(job.moves.values_list("pk", flat=True)) == moves
    assert take(job, CareWord.APPROVE, Actor(cast.owner)).step == CareStep.APPROVED


def test_not_once_something_was_noted_after_it(cast: Cast, sign_in: SignIn) -> None:
    job = take(answered(cast, CareWord.APPROVE), CareWord.COME_BACK, Actor(cast.manager, now=NOW))
    page = sign_in(cast.owner).get(address("care_job", job.pk))
    assert address("care_answer_back", job.pk) not in page.text
    with pytest.raises(Refused, match="no answer to a quote"):
        care.take_back_answer(job, actor=Actor(cast.owner))
    job.refresh_from_db()
    assert job.step == CareStep.BACK


def test_not_by_somebody_else(cast: Cast, sign_in: SignIn) -> None:
    job = answered(cast, CareWord.DECLINE)
    assert address("care_answer_back", job.pk) not in sign_in(cast.manager).get(address("care_job", job.pk)).text
    with pytest.raises(Refused, match="only Owner can take it back"):
        care.take_back_answer(job, actor=Actor(cast.manager))
    job.refresh_from_db()
    assert job.step == CareStep.DECLINED
