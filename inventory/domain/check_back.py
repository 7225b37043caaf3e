"""A check-in that was a mistake, taken back: the work, the blanket and the batch's line stand as before it."""

from datetime import date
from typing import Any, Final

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import JournalEntry
from barnrugs.barns.models.journal import SubjectKind
from inventory.domain import care, keeping
from inventory.domain.care import Details, clock, job_name
from inventory.enums import CareDecision, CareKind, CareWord, CheckOutcome
from inventory.models import BatchLine, Blanket, CareJob, CareMove, Placing, Wearing
from inventory.queries.batches import CHECKED_BY

FOLLOWS: Final = (
    CareWord.BAG,
    CareWord.HAND_OVER,
    CareWord.COME_BACK,
    CareWord.CHECK_IN,
    CareWord.DO_HERE,
    CareWord.LOSE,
    CareWord.FIND,
    CareWord.RETIRE,
)
"""Steps of a blanket's other work that stand on where a check-in left the blanket."""


@transaction.atomic
def take_back(line: BatchLine, *, turn: int, actor: Actor) -> BatchLine:
    """Takes back the check-in of a line, seen at its job's `turn`. Refused where something followed from it."""
    job = care.lock(line.job)
    line = BatchLine.objects.select_for_update(of=("self",)).get(pk=line.pk)
    check = _latest(line, job)
    care.refuse_moved(job, turn)
    before, said = {"step": job.step}, {"outcome": check.outcome, "cost": str(check.cost or "")}
    if check.word == CareWord.CHECK_IN:
        _refuse_followed(check)
        _withdraw_report(check, actor)
        _proof_as_before(check, actor)
        keeping.take_back_rack(job.blanket, at=check.at)
    brought_back = _brought_back(check)
    care.undo(job, check, _former(check))
    for move in brought_back:
        care.undo(job if move.job_id == job.pk else care.lock(move.job), move, _former(move))
    _line_as_before(line, job)
    after = {"kind": job.kind, "step": job.step, "batch": line.batch_id} | said
    journal.write(actor, "care_check_taken_back", about=[job.blanket], before=before, after=after)
    return line


def _latest(line: BatchLine, job: CareJob) -> CareMove:
    if not line.outcome:
        raise Refused(_("Nothing is checked in on this line, so there is nothing to take back."))
    last = job.moves.select_related("by", "job__blanket").latest("pk")
    if last.word not in CHECKED_BY or last.at != line.checked_at:
        raise _since(last)
    return last


def _since(move: CareMove) -> Refused:
    return Refused(
        _("%(who)s noted “%(word)s” (%(job)s) at %(when)s, after this check-in, so it can no longer be taken back.")
        % {
            "who": move.by,
            "word": move.get_decision_display() or move.get_word_display(),
            "when": clock(move.at),
            "job": job_name(move.job),
        }
    )


def _refuse_followed(check: CareMove) -> None:
    blanket = check.job.blanket
    worn = Wearing.objects.filter(Q(off_at__isnull=True) | Q(on_at__gt=check.at), blanket=blanket).first()
    if worn:
        raise Refused(
            _("%(blanket)s was put on %(horse)s at %(when)s, after this check-in, so it can no longer be taken back.")
            % {"blanket": blanket, "horse": worn.horse, "when": clock(worn.on_at)}
        )
    others = CareMove.objects.filter(job__blanket=blanket, pk__gt=check.pk, word__in=FOLLOWS).exclude(job=check.job)
    other = others.select_related("by", "job__blanket").order_by("pk").last()
    if other and other.word == CareWord.CHECK_IN:
        raise Refused(
            _("%(job)s was checked in after this, at %(when)s. Take that back first.")
            % {"job": job_name(other.job), "when": clock(other.at)}
        )
    if other:
        raise _since(other)
    moved = Placing.objects.filter(blanket=blanket, since__gt=check.at).first()
    if moved:
        raise Refused(
            _("%(blanket)s was put elsewhere at %(when)s, after this check-in, so it can no longer be taken back.")
            % {"blanket": blanket, "when": clock(moved.since)}
        )


def _withdraw_report(check: CareMove, actor: Actor) -> None:
    """The damage that this check-in reported: a repair that it opened is closed, an older one stands as before it."""
    if check.outcome != CheckOutcome.DAMAGED or check.job.kind == CareKind.REPAIR:
        return
    reports = CareMove.objects.filter(job__blanket=check.job.blanket, job__kind=CareKind.REPAIR, word=CareWord.REPORT)
    report = reports.filter(pk__gt=check.pk, at=check.at).earliest("pk")
    repair = care.lock(report.job)
    last = repair.moves.select_related("by", "job__blanket").latest("pk")
    if last != report:
        raise _since(last)
    if repair.moves.count() > 1:
        care.undo(repair, report, _former(report))
        return
    why = Details(decision=CareDecision.IGNORE, note=_("Its check-in was taken back."))
    care.take(repair, CareWord.DECIDE, actor=actor, details=why)


def _proof_as_before(check: CareMove, actor: Actor) -> None:
    """Unless somebody put down another day since."""
    blanket = check.job.blanket
    proofed = check.job.kind == CareKind.WATERPROOFING and check.outcome == CheckOutcome.DONE
    if proofed and blanket.proofed_on == timezone.localtime(check.at, actor.barn.zone).date():
        former = _entry(check).before["proofed_on"]
        Blanket.objects.filter(pk=blanket.pk).update(proofed_on=former and date.fromisoformat(former))


def _brought_back(check: CareMove) -> list[CareMove]:
    """A check-in of what was away notes by itself that the blanket is back, with all its work: that goes with it.

    It stays where other work went on from there: then somebody has seen the blanket.
    """
    came = CareMove.objects.filter(job__blanket=check.job.blanket, word=CareWord.COME_BACK, at=check.at)
    moves = list(came.filter(pk__lt=check.pk).select_related("job").order_by("pk"))
    others = [move for move in moves if move.job_id != check.job_id]
    if len(moves) == len(others) or any(move.job.moves.latest("pk") != move for move in others):
        return []
    return moves


def _line_as_before(line: BatchLine, job: CareJob) -> None:
    handed_over = job.moves.filter(word=CareWord.HAND_OVER).latest("pk")
    missed = job.moves.filter(word=CareWord.MISS, pk__gt=handed_over.pk).order_by("pk").last()
    line.outcome, line.cost, line.note, line.checked_at, line.checked_by = (
        (missed.outcome, missed.cost, missed.note, missed.at, missed.by) if missed else ("", None, "", None, None)
    )
    line.save(update_fields=["outcome", "cost", "note", "checked_at", "checked_by"])


def _former(move: CareMove) -> dict[str, Any]:
    before = _entry(move).before
    return {name: before[name] for name in care.FORMER}


def _entry(move: CareMove) -> JournalEntry:
    """What the journal wrote of a step."""
    about = {"subjects__kind": SubjectKind.BLANKET, "subjects__subject_id": move.job.blanket_id}
    entry = JournalEntry.objects.filter(barn=move.barn, there_at=move.at, after__move=str(move.pk), **about).first()
    if entry is None:
        raise Refused(_("How it stood before was not kept at that time, so this can no longer be taken back."))
    return entry
