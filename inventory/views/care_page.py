"""What a piece of work shows to whom: its money to managers, the blanket's owner and who pays, the blanket's price and
all its care not to the payer, names of the company to managers."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest

from barnrugs.barns import access, journal
from inventory.domain.care import ACTIONS
from inventory.enums import CareWord
from inventory.models import CareJob, CareMove, Paper
from inventory.models.care import OFF_SITE
from inventory.queries import care as queries

JOURNALED = {**ACTIONS, CareWord.RETIRE: "blanket_retired"}
"""The journal's action of each word whose note stands in its entry."""


@dataclass(frozen=True)
class Step:
    """One step as this reader may see it."""

    move: CareMove
    note: str
    papers: list[Paper]


def context(request: HttpRequest, job: Any) -> dict[str, Any]:
    money = access.may(request.person, "see_money", job)
    price = access.may(request.person, "see_money", job.blanket)
    return {
        "job": job,
        "blanket": job.blanket,
        "off_site": job.step in OFF_SITE,
        "money": money,
        "steps": steps(job, money=money),
        "company_names": [one["name"] for one in job.company] if request.person.is_manager else [],
        "company_count": len(job.company),
        "sees_blanket": access.may(request.person, "see", job.blanket),
        "price": price,
        "share": queries.share_of_price(job.blanket_cost, job.blanket.price) if price else None,
    }


def steps(job: CareJob, *, money: bool) -> list[Step]:
    moves = job.moves.select_related("by", "picture").prefetch_related("papers").order_by("pk")
    return [_step(move, money=money) for move in moves]


def _step(move: CareMove, *, money: bool) -> Step:
    """A note beside a sum often repeats the sum, so it goes with the money."""
    silent = not money and _speaks_of_money(CareWord(move.word))
    return Step(move, "" if silent else move.note, list(move.papers.all()) if money else [])


def _speaks_of_money(word: CareWord) -> bool:
    """As the journal has it, so that both keep the same notes from the same readers."""
    return word in JOURNALED and "note" in journal.action(JOURNALED[word]).money
