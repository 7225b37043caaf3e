"""What an answer to a question moves, in a sentence that holds before and after it: settling.py carries it out."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inventory.domain.care import clock
from inventory.domain.events import DRESSING
from inventory.enums import QuestionAnswer, QuestionKind
from inventory.models import ListLine, Question, Wearing

WITHOUT_MOVE: Final = {
    "not_done": gettext_noop("Nothing moves: only the line is noted as not done."),
    "take_back": gettext_noop("Moves: what the line had put on or taken off goes back."),
    "hand_check": gettext_noop("Nothing moves: only the hand check is noted."),
    "damage": gettext_noop("Nothing moves: only the damage is reported."),
}
"""What is accepted and dresses no horse, or only as a line did before it."""


def of(
    question: Question, answer: QuestionAnswer, kind: str, known: Iterable[Wearing], lines: Iterable[ListLine] = ()
) -> str:
    """kind: of the event that was sent. known: the barn's wearings that are open or ended or began since it.

    lines: what other lines than the event's own say was worn since it, the last first.
    """
    mine = [worn for worn in known if worn.horse_id == question.horse_id or worn.blanket.tag in question.tags]
    if question.kind == QuestionKind.OVERLAPS:
        return _("Nothing moves: both stay noted.") if answer == QuestionAnswer.ACCEPTED else _taken_off(question, mine)
    if answer == QuestionAnswer.DROPPED:
        return _("Nothing moves: what was noted late is set aside.")
    if kind in WITHOUT_MOVE:
        return _(WITHOUT_MOVE[kind])
    said = next((one for one in lines if one.horse_id == question.horse_id), None)
    return _dressed(question, mine, said) if kind in DRESSING else ""


def _taken_off(question: Question, mine: Sequence[Wearing]) -> str:
    late = [worn for worn in mine if worn.horse_id == question.horse_id and worn.off_at is None]
    late = [worn for worn in late if worn.on_at == question.there_at and worn.on_by_id == question.person_id]
    return _said([_off(worn) for worn in late]) or _("Nothing moves: it wears none of this now.")


def _dressed(question: Question, mine: Sequence[Wearing], said: ListLine | None) -> str:
    later = _latest(mine, question.there_at)
    if said and said.done_at and said.done_at > question.there_at and not (later and later[0] >= said.done_at):
        words = {"who": said.done_by, "horse": said.horse, "tags": " + ".join(said.tags_done) or _("nothing")}
        sentence = _("Nothing moves: %(who)s noted later, at %(when)s, what %(horse)s wore: %(tags)s.")
        return f"{sentence % (words | {'when': clock(said.done_at)})} {_('It is only noted that it was so before.')}"
    if later:
        at, worn = later
        words = {"tag": worn.blanket.tag, "horse": worn.horse, "when": clock(at)}
        sentence = (
            _("Nothing moves: %(tag)s was taken off %(horse)s later, at %(when)s.")
            if at == worn.off_at
            else _("Nothing moves: %(tag)s was put on %(horse)s later, at %(when)s.")
        )
        past = _("It is only noted that it was so before.")
        return f"{sentence % words} {past}"
    now = {worn.blanket.tag: worn for worn in mine if worn.off_at is None}
    put_on = [tag for tag in question.tags if tag not in now or now[tag].horse_id != question.horse_id]
    off = [_off(worn) for tag, worn in now.items() if tag not in question.tags]
    return _said([*off, *(_on(tag, now.get(tag), question) for tag in put_on)]) or _("Nothing moves: it is so already.")


def _latest(mine: Sequence[Wearing], since: datetime) -> tuple[datetime, Wearing] | None:
    times = [(at, worn.pk, worn) for worn in mine for at in (worn.on_at, worn.off_at) if at and at > since]
    at, _pk, worn = max(times, default=(None, 0, None), key=lambda one: one[:2])
    return (at, worn) if at and worn else None


def _off(worn: Wearing) -> str:
    return _("%(tag)s off %(horse)s") % {"tag": worn.blanket.tag, "horse": worn.horse}


def _on(tag: str, worn: Wearing | None, question: Question) -> str:
    words = {"tag": tag, "horse": question.horse, "other": worn.horse if worn else ""}
    if worn:
        return _("%(tag)s from %(other)s to %(horse)s") % words
    return _("%(tag)s onto %(horse)s") % words


def _said(moves: Sequence[str]) -> str:
    return _("Moves: %(moves)s.") % {"moves": "; ".join(moves)} if moves else ""
