"""A care job's way from report to check-in: `take` is the one function that moves it, along care_table.TABLE."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import formats, timezone
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Person
from inventory.domain import care_checks as checks
from inventory.domain import care_table as table
from inventory.domain import keeping
from inventory.domain.pictures import add_picture
from inventory.enums import CareDecision, CareKind, CareStep, CareWord, CheckOutcome, DamagedPart, Keeping
from inventory.images import Shrunk
from inventory.models import BatchLine, Blanket, CareJob, CareMove, Paper, Picture
from inventory.models.care import ENDS, OFF_SITE, TRAVELLING
from inventory.queries import care

SENT_OUT: Final = {
    CareDecision.WASH: CareKind.WASH,
    CareDecision.REPAIR: CareKind.REPAIR,
    CareDecision.WATERPROOF: CareKind.WATERPROOFING,
}


@dataclass(frozen=True)
class Details:
    """What a person says with a step; which of it counts depends on the step."""

    note: str = ""
    decision: str = ""
    limit: Decimal | None = None
    payer: Person | None = None
    names_payer: bool = False
    sent_to: str = ""
    due_on: date | None = None
    quote: Decimal | None = None
    cost: Decimal | None = None
    outcome: str = ""
    part: str = ""
    until: date | None = None
    usable: bool = False
    picture: Shrunk | None = None
    paper: Shrunk | None = None
    approved_by: str = ""


@transaction.atomic
def take(
    job: CareJob, word: CareWord, *, actor: Actor, details: Details = Details(), turn: int | None = None
) -> CareJob:
    """Takes one step. Refused out of order, with what is possible; refused when somebody moved it since `turn`."""
    job = lock(job)
    refuse_moved(job, turn)
    if word == CareWord.DECIDE and details.decision == CareDecision.RETIRE:
        word = CareWord.RETIRE
    if word == CareWord.CHECK_IN and job.step in OFF_SITE:
        _take(job, CareWord.COME_BACK, actor, Details())
        _bring_others_back(job, actor)
    if word in BLANKET_WORDS:
        _refuse_out_of_order(job, word)
        BLANKET_WORDS[word](job.blanket, actor=actor, note=details.note)
        job.refresh_from_db()
        return job
    _take(job, word, actor, details)
    _afterwards(job, word, actor, details)
    return job


@transaction.atomic
def take_back_answer(job: CareJob, *, actor: Actor) -> CareJob:
    """The answer to a quote was a mistake: the quote waits again. By who gave it, while nothing was noted after it."""
    job = lock(job)
    last = job.moves.select_related("by").order_by("-pk").first()
    if last is None or last.word not in ANSWERS:
        raise Refused(_("The last step noted is no answer to a quote, so there is none to take back."))
    if last.by != actor.person:
        raise Refused(_("%(who)s gave this answer, so only %(who)s can take it back.") % {"who": last.by})
    before = job.step
    decided = job.moves.filter(word=CareWord.DECIDE).order_by("pk").last()
    undo(job, last, {"step": CareStep.QUOTED, "decision": decided.decision if decided else ""})
    after = {"kind": job.kind, "step": job.step, "quote": str(job.quote)}
    journal.write(actor, "care_answer_taken_back", about=[job.blanket], before={"step": before}, after=after)
    return job


def lock(job: CareJob) -> CareJob:
    """The job as it is now, with its blanket locked first: whoever puts the blanket on a horse locks that too."""
    Blanket.objects.select_for_update().get(pk=job.blanket_id)
    return (
        CareJob.objects.select_for_update(of=("self",))
        .select_related("blanket", "blanket__owner", "payer", "on_horse", "barn")
        .get(pk=job.pk)
    )


def undo(job: CareJob, move: CareMove, former: Mapping[str, Any]) -> None:
    """The one way back: the job stands as before its last move; `former` are its fields then. The job must be locked.

    The move goes, the journal keeps it: whoever takes it back writes the entry. A bill's picture stays with the job.
    """
    for name, value in former.items():
        setattr(job, name, value)
    job.turn += 1
    job.closed_at = None
    with refusing({name: _twice() for name in ONCE}):
        job.save(update_fields=[*former, "turn", "closed_at"])
    earlier = job.moves.filter(pk__lt=move.pk).order_by("pk").last()
    if earlier:
        move.papers.update(move=earlier)
    move.delete()


def _take(job: CareJob, word: CareWord, actor: Actor, details: Details) -> None:
    _refuse_out_of_order(job, word)
    if word in SPENDING:
        checks.refuse_others_money(job, actor)
    if word in {CareWord.CHECK_IN, CareWord.DO_HERE}:
        agreed = checks.agreement(job, details.cost, details.approved_by)
        details = replace(details, note=checks.joined(agreed, details.note))
    before = {name: getattr(job, name) for name in FORMER}
    if word == CareWord.CHECK_IN:
        before["proofed_on"] = job.blanket.proofed_on
    job.step = EFFECTS[word](job, details, actor)
    if job.step not in table.TABLE[CareStep(before["step"])][word]:
        raise AssertionError(f"{word} led from {before['step']} to {job.step}")
    job.turn += 1
    job.closed_at = actor.at if job.step in ENDS else None
    with refusing({name: _twice() for name in ONCE}):
        job.save(update_fields=FIELDS)
    picture, job.picture_fault = _picture(job, details, actor)
    moved = CareMove.objects.create(
        barn=job.barn,
        job=job,
        word=word,
        came_from=before["step"],
        went_to=job.step,
        at=actor.at,
        by=actor.person,
        decision=details.decision if word == CareWord.DECIDE else "",
        outcome=job.outcome if word in CHECKING else "",
        quote=details.quote if word == CareWord.QUOTE else None,
        cost=details.cost,
        note=details.note,
        picture=picture,
    )
    if details.paper:
        _keep_paper(moved, details.paper, actor)
    _sync_line(job, word, actor, details)
    _write(moved, before, actor, details)


def _picture(job: CareJob, details: Details, actor: Actor) -> tuple[Picture | None, str]:
    """The picture, or why it could not be kept: what is wrong with a blanket must be known without it too."""
    if details.picture is None:
        return None, ""
    try:
        return add_picture(job.blanket, shrunk=details.picture, actor=actor), ""
    except Refused as refused:
        return None, refused.sentence


def _keep_paper(moved: CareMove, shrunk: Shrunk, actor: Actor) -> Paper:
    """The file first: a row never names a file that is not there."""
    paper = Paper(barn=moved.barn, move=moved, sha=shrunk.sha, at=actor.at, by=actor.person)
    try:
        default_storage.save(paper.path, ContentFile(shrunk.full))
    except OSError as fault:
        raise Refused(_("There is no room for this picture just now."), field="paper") from fault
    paper.save(force_insert=True)
    return paper


FIELDS: Final = [
    "kind",
    "step",
    "turn",
    "do_not_use",
    "decision",
    "temporary_fix_until",
    "limit",
    "quote",
    "payer",
    "sent_to",
    "due_on",
    "outcome",
    "closed_at",
]
FORMER: Final = ("step", "decision", "outcome", "do_not_use")
"""What the journal keeps of the job before a step, so that the step can be taken back."""

ONCE: Final = ("care_job_open_once", "inventory_carejob.blanket_id")
ANSWERS: Final = (CareWord.APPROVE, CareWord.DECLINE)
SPENDING: Final = (CareWord.DECIDE, CareWord.QUOTE, CareWord.CHECK_IN, CareWord.DO_HERE)
"""Steps that decide what is spent, or say how much; the answer to a quote asks for more."""

CHECKING: Final = (CareWord.CHECK_IN, CareWord.DO_HERE, CareWord.MISS)


def refuse_moved(job: CareJob, turn: int | None) -> None:
    if turn is None or turn == job.turn:
        return
    last = job.moves.select_related("by").order_by("-pk").first()
    if last is None:
        raise Refused(_("Somebody changed this just now. %(possible)s") % {"possible": table.sentence(job.step)})
    raise Refused(
        _("%(who)s was there first, at %(when)s: %(word)s. It now stands at: %(step)s. %(possible)s")
        % {
            "who": last.by,
            "when": clock(last.at),
            "word": last.get_decision_display() or last.get_word_display(),
            "step": job.get_step_display(),
            "possible": table.sentence(job.step),
        }
    )


def _refuse_out_of_order(job: CareJob, word: CareWord) -> None:
    if word not in table.TABLE[CareStep(job.step)]:
        raise Refused(
            _("“%(word)s” is out of order: the %(job)s stands at “%(step)s”. %(possible)s")
            % {
                "word": word.label,
                "job": job_name(job),
                "step": job.get_step_display(),
                "possible": table.sentence(job.step),
            }
        )


def _twice() -> str:
    return _("The same work is already open for this blanket.")


def job_name(job: CareJob) -> str:
    return f"{job.get_kind_display()} {job.blanket}"


# What each word does to the job; the answer is the step it leads to.


def _report(job: CareJob, details: Details, actor: Actor) -> CareStep:
    job.do_not_use = job.do_not_use or not details.usable
    return CareStep(job.step)


def _decide(job: CareJob, details: Details, actor: Actor) -> CareStep:
    decision = CareDecision(details.decision)
    if decision == CareDecision.IGNORE:
        checks.refuse_ignoring_silently(job, details.note)
        job.decision = decision
        return CareStep.CLOSED
    if decision in SENT_OUT:
        job.kind = SENT_OUT[decision]
    if job.kind == CareKind.WATERPROOFING:
        checks.refuse_unmended(job.blanket)
    job.decision, job.limit, job.outcome = decision, details.limit, ""
    if details.names_payer and actor.person.is_manager:
        job.payer = details.payer
    return CareStep.DECIDED


def _fix(job: CareJob, details: Details, actor: Actor) -> CareStep:
    if job.kind != CareKind.REPAIR:
        raise Refused(_("Only a repair can wait behind a temporary fix."))
    if details.until is None or details.until < checks.day(actor):
        raise Refused(_("Say by which day, from today on, it must be mended."), field="until")
    job.temporary_fix_until = details.until
    if details.usable:
        job.do_not_use = False
    return CareStep(job.step)


def _bag(job: CareJob, details: Details, actor: Actor) -> CareStep:
    checks.refuse_worn(job.blanket)
    checks.refuse_elsewhere(job.blanket)
    if job.decision == CareDecision.HERE:
        raise Refused(_("It was decided to do this here in the barn. Decide again to send it out."))
    if job.kind != CareKind.WASH:
        checks.refuse_unwashed(job, along=True)
    if job.kind == CareKind.WATERPROOFING:
        checks.refuse_unmended(job.blanket, along=True)
    return CareStep.BAGGED


def _unbag(job: CareJob, details: Details, actor: Actor) -> CareStep:
    BatchLine.objects.filter(job=job, batch__handed_at__isnull=True).delete()
    return CareStep.DECIDED


def _hand_over(job: CareJob, details: Details, actor: Actor) -> CareStep:
    if not details.sent_to.strip():
        raise Refused(_("Say to whom it goes."), field="sent_to")
    checks.refuse_past(details.due_on, actor)
    line = BatchLine.objects.filter(job=job, batch__handed_at__isnull=True).select_related("batch").first()
    if line:
        raise Refused(_("It is on the list of batch %(batch)s. Hand over the batch.") % {"batch": line.batch})
    job.sent_to, job.due_on, job.outcome = details.sent_to.strip(), details.due_on, ""
    return CareStep.AWAY


def _quote(job: CareJob, details: Details, actor: Actor) -> CareStep:
    if details.quote is None:
        raise Refused(_("Say how much was quoted."), field="quote")
    job.quote = details.quote
    within = job.limit is not None and details.quote <= job.limit
    return CareStep.APPROVED if within else CareStep.QUOTED


def _approve(job: CareJob, details: Details, actor: Actor) -> CareStep:
    checks.refuse_spending(job, actor, details.note)
    return CareStep.APPROVED


def _decline(job: CareJob, details: Details, actor: Actor) -> CareStep:
    checks.refuse_spending(job, actor, details.note)
    job.decision = ""
    return CareStep.DECLINED


def _come_back(job: CareJob, details: Details, actor: Actor) -> CareStep:
    if job.step == CareStep.QUOTED:
        job.decision = ""
    job.outcome = ""
    return CareStep.BACK


def _check_in(job: CareJob, details: Details, actor: Actor) -> CareStep:
    outcome = CheckOutcome(details.outcome)
    if outcome == CheckOutcome.MISSING:
        raise Refused(_("It is back already, so it is not missing. Mark it lost if nobody can find it."))
    if outcome == CheckOutcome.DAMAGED and job.kind != CareKind.REPAIR and not details.part:
        raise Refused(_("Choose which part came back damaged."), field="part")
    job.outcome = outcome
    if outcome == CheckOutcome.DONE:
        return CareStep.CHECKED
    if outcome == CheckOutcome.DAMAGED:
        job.decision = ""
        job.do_not_use = job.do_not_use or job.kind == CareKind.REPAIR
    return CareStep.DECIDED if job.decision else CareStep.REPORTED


def _miss(job: CareJob, details: Details, actor: Actor) -> CareStep:
    job.outcome = CheckOutcome.MISSING
    return CareStep(job.step)


def _do_here(job: CareJob, details: Details, actor: Actor) -> CareStep:
    if job.decision != CareDecision.HERE:
        raise Refused(_("It was decided to send this out. Decide again to do it here in the barn."))
    if job.kind != CareKind.REPAIR:
        checks.refuse_worn(job.blanket)
    if job.kind == CareKind.WATERPROOFING:
        checks.refuse_unwashed(job)
        checks.refuse_unmended(job.blanket, along=True)
    job.outcome = CheckOutcome.DONE
    return CareStep.CHECKED


def _lose(job: CareJob, details: Details, actor: Actor) -> CareStep:
    return CareStep.LOST


def _find(job: CareJob, details: Details, actor: Actor) -> CareStep:
    return CareStep.BACK


def _retire(job: CareJob, details: Details, actor: Actor) -> CareStep:
    return CareStep.RETIRED


EFFECTS: Final[Mapping[CareWord, Callable[[CareJob, Details, Actor], CareStep]]] = {
    CareWord.REPORT: _report,
    CareWord.DECIDE: _decide,
    CareWord.FIX: _fix,
    CareWord.BAG: _bag,
    CareWord.UNBAG: _unbag,
    CareWord.HAND_OVER: _hand_over,
    CareWord.QUOTE: _quote,
    CareWord.APPROVE: _approve,
    CareWord.DECLINE: _decline,
    CareWord.COME_BACK: _come_back,
    CareWord.CHECK_IN: _check_in,
    CareWord.MISS: _miss,
    CareWord.DO_HERE: _do_here,
    CareWord.LOSE: _lose,
    CareWord.FIND: _find,
    CareWord.RETIRE: _retire,
}


# What follows from a step for the blanket and its other jobs.


def _afterwards(job: CareJob, word: CareWord, actor: Actor, details: Details) -> None:
    if word == CareWord.DECIDE:
        _after_deciding(job, actor, details)
    elif word == CareWord.COME_BACK:
        _bring_others_back(job, actor)
    elif word in {CareWord.CHECK_IN, CareWord.DO_HERE}:
        _after_checking(job, actor, details)


def _after_deciding(job: CareJob, actor: Actor, details: Details) -> None:
    sent_out = details.decision in {CareDecision.REPAIR, CareDecision.WATERPROOF}
    unwashed = not care.washed_since_worn(job.blanket)
    if sent_out and unwashed and not care.on(job.blanket).open().filter(kind=CareKind.WASH).exists():
        wash = open_job(job.blanket, kind=CareKind.WASH, part=DamagedPart.DIRT, actor=actor, payer=job.payer)
        note = _("Wash comes first.")
        _take(wash, CareWord.DECIDE, actor, Details(decision=CareDecision.WASH, note=note))


def _bring_others_back(job: CareJob, actor: Actor) -> None:
    others = care.on(job.blanket).filter(step__in=OFF_SITE).exclude(pk=job.pk)
    for other in others.select_for_update().order_by("pk"):
        _take(other, CareWord.COME_BACK, actor, Details())


def _after_checking(job: CareJob, actor: Actor, details: Details) -> None:
    if job.outcome == CheckOutcome.DONE and job.kind == CareKind.WATERPROOFING:
        job.blanket.proofed_on = checks.day(actor)
        job.blanket.save(update_fields=["proofed_on"])
    if job.outcome == CheckOutcome.DAMAGED and job.kind != CareKind.REPAIR:
        _report_damaged_on_the_way(job, actor, details)
    if not care.on(job.blanket).filter(step__in=TRAVELLING).exists():
        keeping.back_on_rack(job.blanket, actor=actor)


def _report_damaged_on_the_way(job: CareJob, actor: Actor, details: Details) -> None:
    part = details.part
    known = care.on(job.blanket).open().filter(kind=CareKind.REPAIR, part=part).first()
    repair = known or open_job(job.blanket, kind=CareKind.REPAIR, part=part, actor=actor)
    # The check-in's own note may speak of money, and a report is read by staff.
    _take(repair, CareWord.REPORT, actor, Details(usable=False, note=_("Came back damaged.")))


def open_job(
    blanket: Blanket, *, kind: str, part: str, actor: Actor, payer: Person | None = None, **facts: Any
) -> CareJob:
    """A new job at its first step; its report is the caller's to take. The blanket must be locked."""
    job = CareJob(
        barn=blanket.barn,
        blanket=blanket,
        kind=kind,
        part=part,
        payer=payer or blanket.owner,
        reported_at=actor.at,
        reported_by=actor.person,
        **facts,
    )
    job.full_clean(exclude=["barn", "blanket", "payer", "reported_by"], validate_constraints=False)
    with refusing({name: _twice() for name in ONCE}):
        job.save(force_insert=True)
    return job


@transaction.atomic
def ask(blanket: Blanket, kind: CareKind, *, actor: Actor, note: str = "") -> CareJob:
    """Asks for a wash, a repair or waterproofing without any damage to report."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    checks.refuse_gone(blanket)
    job = open_job(blanket, kind=kind, part=DamagedPart.DIRT if kind == CareKind.WASH else "", actor=actor, note=note)
    _take(job, CareWord.REPORT, actor, Details(usable=True, note=note))
    return job


# Lost, found and retired are said of a blanket: all its open jobs follow.


@transaction.atomic
def lose(blanket: Blanket, *, actor: Actor, note: str = "") -> Blanket:
    """Nobody can find it. Its open work stays open until it is found or retired."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    checks.refuse_worn(blanket)
    checks.refuse_gone(blanket)
    _follow(blanket, CareWord.LOSE, actor, note)
    keeping.place(blanket, Keeping.LOST, actor=actor)
    journal.write(actor, "blanket_lost", about=[blanket], after={"where": Keeping.LOST}, why=note)
    return blanket


@transaction.atomic
def find(blanket: Blanket, *, actor: Actor, note: str = "") -> Blanket:
    """A lost blanket turned up. Its open work stands at back, unchecked: somebody has to look at it."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    if not keeping.is_at(blanket, Keeping.LOST):
        raise Refused(_("%(blanket)s is not marked lost.") % {"blanket": blanket})
    keeping.place(blanket, Keeping.RACK, actor=actor, where=blanket.rack)
    _follow(blanket, CareWord.FIND, actor, note)
    journal.write(actor, "blanket_found", about=[blanket], after={"where": Keeping.RACK}, why=note)
    return blanket


@transaction.atomic
def retire(blanket: Blanket, *, actor: Actor, note: str = "") -> Blanket:
    """Out of use for good. Its open work is over."""
    blanket = Blanket.objects.select_for_update().get(pk=blanket.pk)
    checks.refuse_worn(blanket)
    if keeping.is_at(blanket, Keeping.RETIRED):
        raise Refused(_("%(blanket)s is retired already.") % {"blanket": blanket})
    _follow(blanket, CareWord.RETIRE, actor, note)
    keeping.place(blanket, Keeping.RETIRED, actor=actor)
    journal.write(actor, "blanket_retired", about=[blanket], after={"where": Keeping.RETIRED, "note": note})
    return blanket


BLANKET_WORDS: Final[Mapping[CareWord, Callable[..., Blanket]]] = {
    CareWord.LOSE: lose,
    CareWord.FIND: find,
    CareWord.RETIRE: retire,
}


def _follow(blanket: Blanket, word: CareWord, actor: Actor, note: str) -> None:
    for job in care.on(blanket).open().select_for_update().order_by("pk"):
        if word in table.TABLE[CareStep(job.step)]:
            _take(job, word, actor, Details(note=note))


# The batch's line and the journal.


def _sync_line(job: CareJob, word: CareWord, actor: Actor, details: Details) -> None:
    """A job checked in anywhere is checked in on its batch's list too."""
    outcome = job.outcome
    if word == CareWord.RETIRE:
        outcome = CheckOutcome.NOT_DONE
    elif word not in {CareWord.CHECK_IN, CareWord.MISS}:
        return
    lines = BatchLine.objects.filter(job=job, outcome__in=["", CheckOutcome.MISSING])
    lines.update(outcome=outcome, cost=details.cost, note=details.note, checked_at=actor.at, checked_by=actor.person)


ACTIONS: Final[Mapping[CareWord, str]] = {
    CareWord.DECIDE: "care_decided",
    CareWord.FIX: "care_fixed",
    CareWord.BAG: "care_bagged",
    CareWord.UNBAG: "care_unbagged",
    CareWord.HAND_OVER: "care_handed_over",
    CareWord.QUOTE: "care_quoted",
    CareWord.APPROVE: "care_approved",
    CareWord.DECLINE: "care_declined",
    CareWord.COME_BACK: "care_came_back",
    CareWord.CHECK_IN: "care_checked_in",
    CareWord.MISS: "care_missing",
    CareWord.DO_HERE: "care_done_here",
}
"""Reports are written by damage.py, lost and found and retired by their own functions: one entry for the whole act."""


def _write(moved: CareMove, before: Mapping[str, Any], actor: Actor, details: Details) -> None:
    job, word = moved.job, CareWord(moved.word)
    if word not in ACTIONS:
        if word == CareWord.REPORT:
            _write_report(moved, before, actor, details)
        return
    values = {
        "move": moved.pk,
        "kind": job.kind,
        "step": job.step,
        "decision": details.decision,
        "outcome": job.outcome,
        "sent_to": job.sent_to,
        "due_on": job.due_on,
        "until": job.temporary_fix_until,
        "limit": job.limit,
        "quote": job.quote,
        "cost": details.cost,
        "payer": job.payer_id,
        "note": details.note,
    }
    kept = {name: str(value) for name, value in values.items() if value not in {None, ""}}
    journal.write(actor, ACTIONS[word], about=[job.blanket], before=before, after=kept)


def _write_report(moved: CareMove, before: Mapping[str, Any], actor: Actor, details: Details) -> None:
    job = moved.job
    about = [job.blanket, job.on_horse] if job.on_horse else [job.blanket]
    after = {
        "move": str(moved.pk),
        "kind": job.kind,
        "part": job.part,
        "do_not_use": job.do_not_use,
        "company": len(job.company),
    }
    name = "damage_reported" if job.part and job.part != DamagedPart.DIRT else "care_asked"
    journal.write(actor, name, about=about, before=before, after=after, why=details.note)


def clock(moment: datetime) -> str:
    return formats.date_format(timezone.localtime(moment), "j M H:i")
