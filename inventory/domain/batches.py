"""Batches: picked, handed over, and checked in line by line; each line may come on another day."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.constraints import refusing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.barns.models import Barn
from inventory.domain import care
from inventory.domain import care_checks as checks
from inventory.domain.care import Details, clock
from inventory.domain.care_many import in_order
from inventory.enums import CareStep, CareWord, CheckOutcome
from inventory.models import Batch, BatchLine, CareJob


@transaction.atomic
def make(jobs: Sequence[CareJob], *, to_whom: str, actor: Actor, due_on: date | None = None, note: str = "") -> Batch:
    """Bags what is not bagged yet and writes the list: each line with the work asked and the sum to ask above."""
    if not jobs:
        raise Refused(_("Tick at least one line first."), field="jobs")
    checks.refuse_past(due_on, actor)
    Barn.objects.select_for_update().get(pk=actor.barn.pk)
    last = Batch.objects.filter(barn=actor.barn).aggregate(last=Max("number"))["last"] or 0
    batch = Batch.objects.create(
        barn=actor.barn,
        number=last + 1,
        to_whom=to_whom,
        note=note,
        made_at=actor.at,
        made_by=actor.person,
        due_on=due_on,
    )
    for job in in_order(jobs):
        _add(batch, job, actor)
    journal.write(
        actor,
        "batch_made",
        about=[actor.barn, *{job.blanket for job in jobs}],
        after={"number": batch.number, "to_whom": to_whom, "count": len(jobs), "note": note},
    )
    return batch


def _add(batch: Batch, job: CareJob, actor: Actor) -> None:
    job = care.lock(job)
    if job.step != CareStep.BAGGED:
        try:
            job = care.take(job, CareWord.BAG, actor=actor)
        except Refused as no:
            raise Refused(f"{job}: {no.sentence}", field="jobs") from no
    elsewhere = _("%(job)s is on another list already.") % {"job": job}
    with refusing(dict.fromkeys(("batch_line_open_once", "inventory_batchline.job_id"), elsewhere)):
        BatchLine.objects.create(barn=batch.barn, batch=batch, job=job, asked=asked(job), limit=job.limit)


def asked(job: CareJob) -> str:
    """The work in words for whoever does it."""
    parts = [job.get_kind_display(), job.get_part_display() if job.part != "dirt" else "", job.note]
    return ": ".join(part for part in parts if part)[:300]


@transaction.atomic
def hand_over(batch: Batch, *, actor: Actor, due_on: date | None = None) -> Batch:
    """Gives the whole batch away. What was taken out of the bag since is no longer on its list."""
    batch = Batch.objects.select_for_update(of=("self",)).select_related("handed_by").get(pk=batch.pk)
    if batch.handed_at:
        raise Refused(
            _("%(who)s handed this batch over at %(when)s.") % {"who": batch.handed_by, "when": clock(batch.handed_at)}
        )
    jobs = [line.job for line in batch.lines.select_related("job").order_by("pk")]
    if not jobs:
        raise Refused(_("This batch is empty."))
    checks.refuse_past(due_on or batch.due_on, actor)
    batch.handed_at, batch.handed_by, batch.due_on = actor.at, actor.person, due_on or batch.due_on
    batch.save(update_fields=["handed_at", "handed_by", "due_on"])
    for job in jobs:
        said = Details(sent_to=batch.to_whom, due_on=batch.due_on)
        care.take(job, CareWord.HAND_OVER, actor=actor, details=said)
    after = {"number": batch.number, "to_whom": batch.to_whom, "due_on": batch.due_on}
    journal.write(actor, "batch_handed_over", about=[actor.barn], after=after)
    return batch


@transaction.atomic
def check_line(line: BatchLine, *, outcome: CheckOutcome, actor: Actor, details: Details = Details()) -> BatchLine:  # noqa: B008
    """Checks one line in against what was asked. What was checked stays so; what is missing may still turn up."""
    care.lock(line.job)
    line = (
        BatchLine.objects.select_for_update(of=("self",)).select_related("job", "batch", "checked_by").get(pk=line.pk)
    )
    if line.batch.handed_at is None:
        raise Refused(_("This batch was not handed over yet."))
    if line.outcome not in {"", CheckOutcome.MISSING}:
        raise Refused(
            _("%(who)s checked this in at %(when)s: %(outcome)s.")
            % {
                "who": line.checked_by,
                "when": clock(line.checked_at or actor.at),
                "outcome": line.get_outcome_display(),
            }
        )
    word = CareWord.MISS if outcome == CheckOutcome.MISSING else CareWord.CHECK_IN
    care.take(line.job, word, actor=actor, details=replace(details, outcome=outcome))
    line.refresh_from_db()
    return line
