"""What was done without signal, carried out when it reaches us: once, in its order, at the time it was done.

What others noted meanwhile is never overwritten. Where the two contradict each other, both are kept and a manager is
asked; where late entries overlap in the past, they are flagged.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final

from django.db import transaction
from django.db.models import Q
from django.utils import formats, timezone
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain.once import KEPT as KEPT_ONCE
from barnrugs.barns.domain.once import do_once
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from horses.models import Horse
from inventory.domain import damage, dressing, hand_checks, lists, objections, questions, wearing
from inventory.domain.events import EARLIEST, Event, Sent
from inventory.enums import DamagedPart, LineOutcome, QuestionKind
from inventory.models import Blanket, ListLine, Wearing
from inventory.queries import lists as list_queries
from inventory.queries import wearings
from inventory.voices import voice_of

DONE, QUESTION, KEPT = "done", "question", "kept"
CLOCKS_DIFFER: Final = timedelta(minutes=2)
MOST_SAID: Final = 300
BY_THE_LIST: Final = "As the list said when the phone last saw it"


@dataclass(frozen=True)
class Answer:
    """What became of an event, and what to tell whoever did it."""

    status: str
    said: str = ""

    def kept(self) -> str:
        return json.dumps({"status": self.status, "said": self.said[:MOST_SAID]})


def right_time(event: Event, *, now: datetime, clock_off: timedelta) -> datetime:
    """When something was done, from a clock that is behind by so much; never in the future.

    The clock may have been set between the deed and this call: nothing was done before its page was made.
    """
    return min(max(event.there_at + clock_off, event.page_at or EARLIEST), now)


def take_in(sent: Sent, *, actor: Actor, keep_for: QuestionKind | None = None) -> tuple[Answer, bool]:
    """Carries out an event once and says what became of it, and whether that was now.

    keep_for: it is not to be carried out but kept for the manager. Refused leaves no trace. The number belongs to the
    person and not to the phone, so that enrolling the phone in between makes no second write of it.
    """

    def call() -> str:
        return (_keep(sent, keep_for, actor) if keep_for else _carry_out(sent, actor)).kept()

    kept, now = do_once(replace(actor, device=None), sent.event.once, sent.event.digest, call)
    return Answer(**json.loads(kept)), now


def _keep(sent: Sent, kind: QuestionKind, actor: Actor) -> Answer:
    questions.ask(sent, kind, actor=actor, action="late_change_held")
    return Answer(
        KEPT, " ".join(filter(None, [_("It is kept for the manager."), _without_picture(sent.picture_fault)]))
    )


def _carry_out(sent: Sent, actor: Actor) -> Answer:
    if actor.at < actor.now - KEPT_ONCE:
        raise Refused(_("This was noted more than 90 days ago. Tell the manager, and note it anew as of today."))
    if sent.unknown:
        unknown = ", ".join(sent.unknown)
        raise Refused(_("%(tags)s is no blanket that you can put on here.") % {"tags": unknown}, field="tags")
    _lock(sent)
    actor = _in_own_order(sent, actor)
    try:
        with transaction.atomic():
            said = APPLY[sent.kind](sent, actor)
    except Refused as refused:
        if refused.field or not sent.dresses:
            raise
        questions.ask(sent, QuestionKind.CONTRADICTS, actor=actor, action="change_contradicted", why=refused.sentence)
        return Answer(QUESTION, _("%(why)s The manager is asked which holds.") % {"why": refused.sentence})
    if sent.horse and sent.dresses and flag_overlaps(sent.horse, actor):
        questions.ask(sent, QuestionKind.OVERLAPS, actor=actor, action="late_change_overlaps")
        return Answer(QUESTION, _("It is noted. It overlaps with what others noted, so the manager looks at it."))
    return Answer(DONE, said)


def _lock(sent: Sent) -> None:
    """Always in this order, so that no two wait for each other: the line, the horse, all blankets by number."""
    if sent.line:
        ListLine.objects.select_for_update(of=("self",)).get(pk=sent.line.pk)
    if sent.horse and (sent.dresses or sent.kind == "take_back"):
        Horse.objects.select_for_update(of=("self",)).get(pk=sent.horse.pk)
        worn = set(wearings.open_on(sent.horse).values_list("blanket_id", flat=True))
        wanted = worn | {blanket.pk for blanket in sent.claimed} | _on_the_line(sent.line)
        list(Blanket.objects.select_for_update(of=("self",)).filter(pk__in=wanted).order_by("pk"))


def _in_own_order(sent: Sent, actor: Actor) -> Actor:
    """A clock measured twice differs by seconds: nobody's later tap comes before their earlier one for that."""
    if not sent.horse or not actor.there_at:
        return actor
    own = Wearing.objects.filter(Q(horse=sent.horse) | Q(blanket__in=sent.claimed)).filter(
        Q(on_by=actor.person, on_at__gt=actor.there_at) | Q(off_by=actor.person, off_at__gt=actor.there_at)
    )
    times = [time for pair in own.values_list("on_at", "off_at") for time in pair if time]
    lines = list_queries.noted_after([sent.horse.pk], actor.there_at).filter(done_by=actor.person)
    times += [time for time in lines.values_list("done_at", flat=True) if time]
    near = [time for time in times if timedelta() < time - actor.there_at < CLOCKS_DIFFER]
    return replace(actor, there_at=max(near, default=actor.there_at))


def _on_the_line(line: ListLine | None) -> set[int]:
    tags = [*line.tags_to, *line.tags_from] if line else []
    return set(Blanket.objects.filter(barn=line.barn_id, tag__in=tags).values_list("pk", flat=True)) if line else set()


def _done(sent: Sent, actor: Actor) -> str:
    """Done as the phone showed it: where the list was made anew meanwhile, that is something else than it says now."""
    line = _line(sent)
    if agreed := _noted_alike(line, sent, actor):
        return agreed
    _refuse_noted_later(line.horse, _outfit(sent), actor, but=line)
    if sent.tags == line.tags_to and sent.neck_on == line.neck:
        lists.mark_done(line, actor=actor, fate=sent.fate)
    else:
        lists.mark_other(line, to=sent.claimed, why=BY_THE_LIST, actor=actor, neck_on=sent.neck_on, fate=sent.fate)
    return ""


def _other(sent: Sent, actor: Actor) -> str:
    line = _line(sent)
    if agreed := _noted_alike(line, sent, actor):
        return agreed
    _refuse_noted_later(line.horse, _outfit(sent), actor, but=line)
    _refuse_objected(sent, actor, own_words=sent.fields["more"])
    why = sent.fields["why"]
    lists.mark_other(line, to=sent.claimed, why=why, actor=actor, neck_on=sent.neck_on, fate=sent.fate)
    return ""


def _not_done(sent: Sent, actor: Actor) -> str:
    line = _line(sent)
    if agreed := _noted_alike(line, sent, actor):
        return agreed
    lists.mark_not_done(line, why=sent.fields["why"], actor=actor)
    return ""


def _take_back(sent: Sent, actor: Actor) -> str:
    line = _line(sent)
    if line.outcome and line.outcome != LineOutcome.NOT_DONE:
        _refuse_noted_later(line.horse, (line.tags_from, line.neck_from), actor, but=line)
    lists.take_back(line, actor=actor, why=sent.fields["why"])
    return ""


def _wear(sent: Sent, actor: Actor) -> str:
    _refuse_noted_later(_horse(sent), _outfit(sent), actor)
    _refuse_barred(sent, actor)
    _refuse_objected(sent, actor, own_words=sent.fields["why"])
    why = sent.fields["why"]
    wearing.change(_horse(sent), to=sent.claimed, actor=actor, neck_on=sent.neck_on, fate=sent.fate, why=why)
    return ""


def _hand_check(sent: Sent, actor: Actor) -> str:
    hand_checks.note(_horse(sent), felt=sent.fields["felt"], note=sent.fields["note"], actor=actor)
    return ""


def _damage(sent: Sent, actor: Actor) -> str:
    given = sent.fields
    if sent.blanket is None:
        raise LookupError(sent.kind)
    job = damage.report(
        sent.blanket,
        part=DamagedPart(given["part"]),
        usable=given["usable"],
        horse=sent.horse,
        note=given["note"],
        picture=sent.picture,
        actor=actor,
    )
    return _without_picture(sent.picture_fault or job.picture_fault)


def _without_picture(why: str) -> str:
    return _("Its picture could not be kept: %(why)s") % {"why": why} if why else ""


APPLY: Final[Mapping[str, Callable[[Sent, Actor], str]]] = {
    "done": _done,
    "other": _other,
    "not_done": _not_done,
    "take_back": _take_back,
    "wear": _wear,
    "hand_check": _hand_check,
    "damage": _damage,
}


def _line(sent: Sent) -> ListLine:
    if sent.line is None:
        raise LookupError(sent.kind)
    return ListLine.objects.select_related("horse", "barn", "done_by", "change_list").get(pk=sent.line.pk)


def _horse(sent: Sent) -> Horse:
    if sent.horse is None:
        raise LookupError(sent.kind)
    return sent.horse


def _noted_alike(line: ListLine, sent: Sent, actor: Actor) -> str:
    """Two who noted the same do not contradict each other: the first stands, the second is written down beside it."""
    left = line.outcome == LineOutcome.NOT_DONE
    alike = left if sent.kind == "not_done" else not left and _noted_on(line) == _outfit(sent)
    if not line.outcome or not line.done_at or not alike:
        return ""
    journal.write(actor, "line_noted_alike", about=[line.horse], after={"tags": list(line.tags_done)})
    clock = f"{timezone.localtime(line.done_at):%H:%M}"
    return _("%(who)s had noted the same at %(time)s.") % {"who": line.done_by, "time": clock}


Outfit = tuple[list[str], bool]
"""What a horse wears, innermost first, and whether with a neck."""


def _outfit(sent: Sent) -> Outfit:
    return sent.tags, sent.neck_on and any(blanket.neck != "none" for blanket in sent.claimed)


def _noted_on(line: ListLine) -> Outfit:
    return list(line.tags_done), bool(line.done_at and wearings.neck_at(line.horse, line.done_at))


def _refuse_noted_later(horse: Horse, outfit: Outfit, actor: Actor, but: ListLine | None = None) -> None:
    """Something older does not undo what the horse was last said to wear, even where saying so changed nothing.

    but: the line that it is about; whether that one still takes it, its own answer says.
    """
    later = list_queries.noted_after([horse.pk], actor.at, but=but).first()
    if later is None or later.done_at is None or _noted_on(later) == outfit:
        return
    raise Refused(
        _("%(who)s noted later, at %(time)s, what %(horse)s wore: %(tags)s.")
        % {
            "who": later.done_by,
            "time": formats.date_format(timezone.localtime(later.done_at), "j M H:i"),
            "horse": horse,
            "tags": " + ".join(later.tags_done) or _("nothing"),
        }
    )


def _refuse_barred(sent: Sent, actor: Actor) -> None:
    """What a note or a chart bars was done all the same: the manager is asked, also where only a reason is missing."""
    try:
        dressing.refuse_otherwise(_horse(sent), to=sent.claimed, actor=actor, why=sent.fields["why"], wet=sent.fate.wet)
    except Refused as barred:
        raise Refused(barred.sentence) from None


def _refuse_objected(sent: Sent, actor: Actor, *, own_words: str) -> None:
    """What the matching refuses in any weather went on without a word of why: the manager is asked."""
    if own_words.strip() or sent.horse is None:
        return
    found = objections.objections(sent.horse, sent.claimed, person=actor.person, at=actor.at)
    if found:
        raise Refused(" ".join(reason.say(voice_of(actor.barn)) for reason in found))


def flag_overlaps(horse: Horse, actor: Actor) -> bool:
    """Flags wearings that say two things about the same moment, because this one was entered late. Were there any?"""
    if not actor.there_at:
        return False
    found = False
    for late in Wearing.objects.filter(horse=horse, off_at__isnull=True, on_at=actor.at):
        same = Q(blanket=late.blanket_id) | Q(horse=horse, layer=late.layer)
        others = Wearing.objects.filter(same, barn=late.barn_id, off_at__gt=late.on_at).exclude(pk=late.pk)
        flagged = list(others.values_list("pk", flat=True))
        if flagged:
            Wearing.objects.filter(pk__in=[*flagged, late.pk]).update(overlaps=True)
            found = True
    return found
