"""What a piece of work shows to whom: money to managers and the blanket's owner, names of the company to managers."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest

from barnrugs.barns import access
from inventory.enums import CareWord
from inventory.models import CareJob, CareMove, Paper

SPEAKS_OF_MONEY = (
    CareWord.DECIDE,
    CareWord.QUOTE,
    CareWord.APPROVE,
    CareWord.DECLINE,
    CareWord.CHECK_IN,
    CareWord.DO_HERE,
)


@dataclass(frozen=True)
class Step:
    """One step as this reader may see it."""

    move: CareMove
    note: str
    papers: list[Paper]


def context(request: HttpRequest, job: CareJob) -> dict[str, Any]:
    money = access.may(request.person, "see_money", job)
    return {
        "job": job,
        "blanket": job.blanket,
        "money": money,
        "steps": steps(job, money=money),
        "company_names": [one["name"] for one in job.company] if request.person.is_manager else [],
        "company_count": len(job.company),
        "share": share(job) if money else None,
    }


def steps(job: CareJob, *, money: bool) -> list[Step]:
    moves = job.moves.select_related("by", "picture").prefetch_related("papers").order_by("pk")
    return [_step(move, money=money) for move in moves]


def _step(move: CareMove, *, money: bool) -> Step:
    """A note beside a sum often repeats the sum, so it goes with the money."""
    silent = not money and move.word in SPEAKS_OF_MONEY
    return Step(move, "" if silent else move.note, list(move.papers.all()) if money else [])


def share(job: Any) -> int | None:
    """What all care of this blanket cost so far, in per cent of its price."""
    price = job.blanket.price
    return round(100 * job.blanket_cost / price) if price else None
