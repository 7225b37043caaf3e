"""What the manager answers to a question: it happened as noted, or it stays as it stands."""

from dataclasses import replace
from datetime import datetime

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from inventory.domain import lists, wearing
from inventory.domain.care import clock
from inventory.domain.events import Sent
from inventory.domain.sending import APPLY
from inventory.enums import LineOutcome, QuestionAnswer, QuestionKind
from inventory.models import ListLine, Question, Wearing
from inventory.queries import lists as list_queries
from inventory.queries import wearings


@transaction.atomic
def drop(question: Question, *, actor: Actor) -> Question:
    """It stays as it stands. Of what overlaps, that is without the late entry: what it put on comes off again."""
    question = _open(question, QuestionAnswer.DROPPED, actor)
    if question.kind == QuestionKind.OVERLAPS and question.horse:
        for worn in wearings.open_on(question.horse).filter(on_at=question.there_at, on_by=question.person):
            wearing.take_off(worn, actor=actor, why=_("It was not as noted late."))
    return question


@transaction.atomic
def accept(question: Question, sent: Sent | None, *, actor: Actor) -> Question:
    """It happened as noted: by whom it was noted, at that time. `sent` is the event read again; overlaps need none."""
    question = _open(question, QuestionAnswer.ACCEPTED, actor)
    if question.kind == QuestionKind.OVERLAPS or sent is None:
        return question
    theirs = Actor(question.person, device=question.device, there_at=question.there_at, now=actor.now)
    if sent.dresses:
        as_noted(sent, theirs, manager=actor)
    else:
        APPLY[sent.kind](sent, theirs)
    return question


def _open(question: Question, answer: QuestionAnswer, actor: Actor) -> Question:
    question = Question.objects.select_for_update(of=("self",)).select_related("horse", "person").get(pk=question.pk)
    if question.answer:
        raise Refused(
            _("%(who)s answered this at %(time)s: %(answer)s.")
            % {
                "who": question.answered_by,
                "time": f"{timezone.localtime(question.answered_at):%H:%M}",
                "answer": question.get_answer_display(),
            }
        )
    question.answer, question.answered_at, question.answered_by = answer, actor.now, actor.person
    question.save(update_fields=["answer", "answered_at", "answered_by"])
    what = ", ".join(map(str, [question.horse or "", *question.tags])).strip(", ")
    about = [thing for thing in (question.horse, question.person) if thing]
    journal.write(
        actor, f"late_change_{answer.value}", about=about, after={"what": what, "noted_by": question.person.name}
    )
    return question


def as_noted(sent: Sent, theirs: Actor, *, manager: Actor) -> None:
    """Makes the records say what was noted: as of now where nothing later is known, else as a past that overlaps."""
    if sent.kind != "not_done":
        if _something_later(sent, theirs.at):
            _add_past(sent, theirs)
        else:
            _dress_now(sent, theirs, manager)
    if sent.line:
        _close_line(sent, sent.line, theirs)


def _something_later(sent: Sent, at: datetime) -> bool:
    tags = {blanket.pk for blanket in sent.claimed}
    known = Wearing.objects.filter(Q(horse=sent.horse) | Q(blanket__in=tags)).filter(Q(on_at__gt=at) | Q(off_at__gt=at))
    return known.exists() or _line_later(sent, at) is not None


def _line_later(sent: Sent, at: datetime) -> ListLine | None:
    """Where the horse was next said to wear something, on another line than the one this is about."""
    horses = [sent.horse.pk] if sent.horse else []
    return list_queries.noted_after(horses, at, but=sent.line).last()


def _dress_now(sent: Sent, theirs: Actor, manager: Actor) -> None:
    for blanket in sent.claimed:
        worn = wearings.open_of(blanket)
        if worn and worn.horse_id != sent.horse.pk:  # type: ignore[union-attr]
            wearing.take_off(worn, actor=manager, why=_("It is on %(horse)s.") % {"horse": sent.horse})
    wearing.change(
        sent.horse,  # type: ignore[arg-type]
        to=sent.claimed,
        actor=replace(theirs, there_at=None),
        neck_on=sent.neck_on,
        fate=sent.fate,
        why=sent.fields.get("why", ""),
    )


def _add_past(sent: Sent, theirs: Actor) -> None:
    """What was worn from then until the next thing that is known; both are kept, flagged."""
    if sent.horse is None:
        raise LookupError(sent.kind)
    line = _line_later(sent, theirs.at)
    said = [(line.done_at, line.done_by)] if line and line.done_at and line.done_by else []
    for layer, blanket in enumerate(sent.claimed, start=1):
        same = Wearing.objects.filter(Q(blanket=blanket) | Q(horse=sent.horse, layer=layer), barn=theirs.barn)
        later = same.filter(on_at__gt=theirs.at).order_by("on_at").first()
        if same.filter(blanket=blanket, horse=sent.horse, on_at__lte=theirs.at, off_at__isnull=True).exists():
            continue
        ends = [*said, *([(later.on_at, later.on_by)] if later else [])]
        off_at, off_by = min(ends, key=lambda one: one[0], default=(theirs.now, theirs.person))
        past = Wearing.objects.create(
            barn=theirs.barn,
            blanket=blanket,
            horse=sent.horse,
            layer=layer,
            neck_on=sent.neck_on and blanket.neck != "none",
            on_at=theirs.at,
            on_by=theirs.person,
            off_at=off_at,
            off_by=off_by,
            overlaps=True,
        )
        after = {"layer": layer, "neck_on": past.neck_on, "until": clock(off_at)}
        journal.write(theirs, "past_wearing_noted", about=[sent.horse, blanket], after=after)
        meanwhile = Q(off_at__gt=past.on_at) | Q(off_at__isnull=True)
        same.filter(meanwhile, on_at__lt=past.off_at).exclude(pk=past.pk).update(overlaps=True)


def _close_line(sent: Sent, line: ListLine, theirs: Actor) -> None:
    """What was noted on the line before stands in the journal."""
    line = ListLine.objects.select_for_update(of=("self",)).select_related("horse").get(pk=line.pk)
    before = {"outcome": line.outcome, "tags": line.tags_done, "why": line.why}
    tags = sent.tags
    outcome = LineOutcome.NOT_DONE if sent.kind == "not_done" else LineOutcome.OTHER
    if sent.kind == "done" and tags == line.tags_to:
        outcome = LineOutcome.DONE
    line.outcome, line.why = outcome, sent.fields.get("why", "")
    line.tags_done = line.tags_from if outcome == LineOutcome.NOT_DONE else tags
    line.done_at, line.done_by = theirs.at, theirs.person
    line.save(update_fields=["outcome", "why", "tags_done", "done_at", "done_by"])
    journal.write(
        theirs, lists.SAID[outcome], about=[line.horse], before=before, after={"tags": line.tags_done}, why=line.why
    )
