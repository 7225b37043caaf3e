from datetime import UTC, datetime

from barnrugs.barns.journal import Actor
from inventory.domain import batches
from inventory.domain import care as domain
from inventory.enums import CareKind, CareStep, CheckOutcome
from inventory.models import Batch, CareJob
from tests.access_table import row
from tests.cast import Cast
from tests.inventory.care_walks import bring

JOB = "care_job"
"""A wash of another owner's blanket, reported."""


def by_manager(cast: Cast) -> Actor:
    return Actor(cast.manager, now=datetime(2026, 1, 15, 6, tzinfo=UTC))


def waiting(cast: Cast) -> CareJob:
    known = CareJob.objects.filter(blanket=cast.barn_blanket).first()
    job = known or domain.ask(cast.barn_blanket, CareKind.WASH, actor=by_manager(cast))
    return job if known else bring(job, CareStep.DECIDED, by_manager(cast))


def answered(cast: Cast) -> CareJob:
    """A quote that the manager approved."""
    job = CareJob.objects.get(pk=cast.care_job.pk)
    return bring(job, CareStep.APPROVED, by_manager(cast)) if job.step == CareStep.REPORTED else job


def batch(cast: Cast) -> Batch:
    made = Batch.objects.filter(barn=cast.barn).first()
    return made or batches.make([waiting(cast)], to_whom="Laundry", actor=by_manager(cast))


def handed_over(cast: Cast) -> Batch:
    made = batch(cast)
    return made if made.handed_at else batches.hand_over(made, actor=by_manager(cast))


def checked_in(cast: Cast) -> Batch:
    made = handed_over(cast)
    if not made.lines.get().outcome:
        batches.check_line(made.lines.get(), outcome=CheckOutcome.DONE, actor=by_manager(cast))
    return made


MONTH = {"year": lambda cast: 2026, "month": lambda cast: 1}
RULE = {"since": "2026-01-01", "kind": "per_change", "per_change": "3", "included": "2"}
DECIDE = {"turn": "0", "decision": "wash"}

TABLE = {
    ("care", "GET"): row("200 200 200 200 200 200"),
    ("care_many", "POST"): row("302 400 400 400 302 400", data={"act": "here", "jobs": lambda cast: cast.care_job.pk}),
    ("care_rules", "GET"): row("200 403 403 403 403 403"),
    ("care_rules", "POST"): row("200 403 403 403 403 403"),
    ("care_job", "GET"): row("200 200 404 200 200 404", pk=JOB),
    ("care_step", "GET"): row("200 403 404 403 200 404", pk=JOB, word=lambda cast: "decide"),
    ("care_step", "POST"): row("302 403 404 403 302 404", pk=JOB, word=lambda cast: "decide", data=DECIDE),
    ("care_step", "GET", "fix"): row("200 200 404 200 200 404", pk=JOB, word=lambda cast: "fix"),
    ("care_step", "GET", "no such word"): row("404 404 404 404 404 404", pk=JOB, word=lambda cast: "report"),
    ("care_answer_back", "GET"): row("200 403 404 403 200 404", pk=JOB),
    ("care_answer_back", "POST"): row("302 403 404 403 200 404", pk=lambda cast: answered(cast).pk),
    ("care_ask", "GET"): row("200 200 200 200 404 404", pk="owners_blanket"),
    ("care_ask", "POST"): row("302 302 302 302 404 404", pk="owners_blanket", data={"kind": "wash"}),
    ("damage", "GET"): row("200 200 200 200 404 404", pk="owners_blanket"),
    ("damage", "POST"): row("302 302 302 302 404 404", pk="owners_blanket", data={"part": "strap", "use": "usable"}),
    ("horse_damage", "GET"): row("200 200 200 200 404 404", pk="owners_horse"),
    ("horse_damage", "POST"): row(
        "302 302 302 302 404 404",
        pk="owners_horse",
        data={"part": "shell", "use": "do_not_use", "blanket": lambda cast: cast.worn.pk},
    ),
    ("paper", "GET"): row("404 404 404 404 404 404", pk=lambda cast: 1),
    ("batches", "GET"): row("200 403 403 403 403 403"),
    ("batch_new", "GET"): row("200 403 403 403 403 403"),
    ("batch_new", "POST"): row(
        "302 403 403 403 403 403", data={"to_whom": "Laundry", "jobs": lambda cast: waiting(cast).pk}
    ),
    ("batch", "GET"): row("200 404 404 404 404 404", pk=lambda cast: batch(cast).pk),
    ("batch_hand_over", "POST"): row("302 404 404 404 404 404", pk=lambda cast: batch(cast).pk),
    ("batch_check", "POST"): row(
        "302 404 404 404 404 404", pk=lambda cast: handed_over(cast).lines.get().pk, data={"outcome": "done"}
    ),
    ("batch_check_back", "POST"): row(
        "302 404 404 404 404 404",
        pk=lambda cast: checked_in(cast).lines.get().pk,
        data={"turn": lambda cast: checked_in(cast).lines.get().job.turn},
    ),
    ("batch_file", "GET"): row("200 404 404 404 404 404", pk=lambda cast: batch(cast).pk, what=lambda cast: "list"),
    ("batch_file", "GET", "check-in"): row(
        "200 404 404 404 404 404", pk=lambda cast: batch(cast).pk, what=lambda cast: "check-in"
    ),
    ("drying", "GET"): row("200 200 200 200 200 200"),
    ("mark_wet", "GET"): row("200 200 200 200 404 404", pk="owners_blanket"),
    ("mark_wet", "POST"): row("302 302 302 302 404 404", pk="owners_blanket", data={"place": "Boiler room"}),
    ("mark_soaked", "POST"): row("302 302 302 302 404 404", pk="wearing"),
    ("money", "GET"): row("200 403 200 200 200 200"),
    ("fee_rule", "GET"): row("200 403 403 403 403 403"),
    ("fee_rule", "POST"): row("302 403 403 403 403 403", data=RULE),
    ("statements", "GET"): row("200 403 403 403 403 403", **MONTH),
    ("statement", "GET"): row("200 404 200 404 404 404", pk="owner", **MONTH),
    ("statement", "GET", "staff's own"): row("200 404 404 404 404 404", pk="staff", **MONTH),
    ("statement_file", "GET"): row("200 404 200 404 404 404", pk="owner", **MONTH),
    ("journal", "GET"): row("200 403 403 403 403 403"),
    ("journal_file", "GET"): row("200 403 403 403 403 403"),
    ("journal_of", "GET"): row("200 200 200 200 404 404", kind=lambda cast: "blanket", pk="owners_blanket"),
    ("journal_of", "GET", "horse"): row("200 200 200 200 404 404", kind=lambda cast: "horse", pk="owners_horse"),
    ("journal_of", "GET", "person"): row("200 404 200 404 404 404", kind=lambda cast: "person", pk="owner"),
    ("journal_of", "GET", "staff"): row("200 200 404 404 404 404", kind=lambda cast: "person", pk="staff"),
    ("journal_of", "GET", "no such kind"): row("404 404 404 404 404 404", kind=lambda cast: "barn", pk="owner"),
    ("journal_of_file", "GET"): row("200 200 200 200 404 404", kind=lambda cast: "blanket", pk="owners_blanket"),
    ("journal_of_file", "GET", "person"): row("200 404 200 404 404 404", kind=lambda cast: "person", pk="owner"),
    ("mail", "GET"): row("200 200 200 200 200 200"),
    ("mail", "POST"): row("302 302 302 302 302 302", data={"decision": "on"}),
    ("season", "GET"): row("200 200 200 200 200 200"),
    ("autumn", "GET"): row("200 200 200 200 200 200"),
    ("season_act", "POST"): row(
        "302 400 302 400 400 400",
        page=lambda cast: "season",
        data={"act": "store", "place": "Loft", "blankets": lambda cast: cast.owners_blanket.pk},
    ),
    ("season_act", "POST", "no such page"): row(
        "404 404 404 404 404 404", page=lambda cast: "spring", data={"act": "store"}
    ),
}
