"""One action on many at once: each line on its own, so that one that cannot follow does not hold up the rest."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import TypeVar

from django.db import transaction

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from inventory.domain import care
from inventory.domain.care import Details
from inventory.enums import CareDecision, CareKind, CareWord
from inventory.models import Blanket, CareJob

T = TypeVar("T")
WASH_FIRST = {CareKind.WASH: 0, CareKind.REPAIR: 1, CareKind.WATERPROOFING: 2}


def in_order(jobs: Sequence[CareJob]) -> list[CareJob]:
    """Washes before repairs before waterproofing: so a bag that holds all of them can be filled in one go."""
    return sorted(jobs, key=lambda job: (WASH_FIRST[CareKind(job.kind)], job.pk))


@transaction.atomic
def act(
    name: str,
    *,
    jobs: Sequence[CareJob],
    blankets: Sequence[Blanket],
    actor: Actor,
    limit: Decimal | None = None,
) -> list[str]:
    """Carries out the action on each; answers the sentences of those that were refused."""
    if name == "ask_proofing":
        return each(blankets, lambda blanket: care.ask(blanket, CareKind.WATERPROOFING, actor=actor))
    if name == "bag":
        return each(in_order(jobs), lambda job: care.take(job, CareWord.BAG, actor=actor))
    details = Details(decision=CareDecision(name), limit=limit)
    return each(in_order(jobs), lambda job: care.take(job, CareWord.DECIDE, actor=actor, details=details))


def each(things: Sequence[T], call: Callable[[T], object]) -> list[str]:
    refused = []
    for thing in things:
        try:
            with transaction.atomic():
                call(thing)
        except Refused as no:
            refused.append(f"{thing}: {no.sentence}")
    return refused
