"""Short ways to bring a care job to a step, through the domain's own function."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from barnrugs.barns.journal import Actor
from inventory.domain import care, care_checks
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, CheckOutcome
from inventory.models import Blanket, CareJob

_DECIDE = (CareWord.DECIDE, Details(decision=CareDecision.WASH))
_BAG = (CareWord.BAG, Details())
_AWAY = (CareWord.HAND_OVER, Details(sent_to="Mill Lane Laundry"))
_QUOTE = (CareWord.QUOTE, Details(quote=Decimal("60.00")))
_YES = (CareWord.APPROVE, Details(note="Agreed by telephone."))
_NO = (CareWord.DECLINE, Details(note="Too dear."))
_BACK = (CareWord.COME_BACK, Details())

TO_STEP: dict[CareStep, list[tuple[CareWord, Details]]] = {
    CareStep.REPORTED: [],
    CareStep.DECIDED: [_DECIDE],
    CareStep.BAGGED: [_DECIDE, _BAG],
    CareStep.AWAY: [_DECIDE, _BAG, _AWAY],
    CareStep.QUOTED: [_DECIDE, _BAG, _AWAY, _QUOTE],
    CareStep.APPROVED: [_DECIDE, _BAG, _AWAY, _QUOTE, _YES],
    CareStep.DECLINED: [_DECIDE, _BAG, _AWAY, _QUOTE, _NO],
    CareStep.BACK: [_DECIDE, _BAG, _AWAY, _BACK],
    CareStep.LOST: [(CareWord.LOSE, Details())],
    CareStep.CHECKED: [_DECIDE, _BAG, _AWAY, _BACK, (CareWord.CHECK_IN, Details(outcome=CheckOutcome.DONE))],
    CareStep.CLOSED: [(CareWord.DECIDE, Details(decision=CareDecision.IGNORE, note="Only dust."))],
    CareStep.RETIRED: [(CareWord.RETIRE, Details())],
}


def bring(job: CareJob, step: CareStep, actor: Actor) -> CareJob:
    for word, details in TO_STEP[step]:
        due_on = care_checks.day(actor) + timedelta(days=15) if word == CareWord.HAND_OVER else None
        job = care.take(job, word, actor=actor, details=replace(details, due_on=due_on))
    assert job.step == step
    return job


def wash(blanket: Blanket, actor: Actor) -> CareJob:
    """Washed, away and back, just now."""
    return bring(care.ask(blanket, CareKind.WASH, actor=actor), CareStep.CHECKED, actor)


def take(job: CareJob, word: CareWord, actor: Actor, **said: object) -> CareJob:
    return care.take(job, word, actor=actor, details=Details(**said))
