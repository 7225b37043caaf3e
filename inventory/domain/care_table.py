"""The steps of a care job: from each step, what a person may do and where it can lead. The only such table."""

from collections.abc import Mapping
from typing import Final

from django.utils.translation import gettext as _

from inventory.enums import CareStep, CareWord

Step = CareStep
Word = CareWord

Moves = Mapping[CareWord, frozenset[CareStep]]


def _to(*steps: CareStep) -> frozenset[CareStep]:
    return frozenset(steps)


_GONE: Final[Moves] = {Word.LOSE: _to(Step.LOST), Word.RETIRE: _to(Step.RETIRED)}
_DECIDE: Final = _to(Step.DECIDED, Step.CLOSED)
_QUOTE: Final = _to(Step.QUOTED, Step.APPROVED)
_BACK: Final[Moves] = {Word.COME_BACK: _to(Step.BACK), **_GONE}

TABLE: Final[Mapping[CareStep, Moves]] = {
    Step.REPORTED: {
        Word.REPORT: _to(Step.REPORTED),
        Word.DECIDE: _DECIDE,
        Word.FIX: _to(Step.REPORTED),
        **_GONE,
    },
    Step.DECIDED: {
        Word.REPORT: _to(Step.DECIDED),
        Word.DECIDE: _DECIDE,
        Word.FIX: _to(Step.DECIDED),
        Word.BAG: _to(Step.BAGGED),
        Word.DO_HERE: _to(Step.CHECKED),
        **_GONE,
    },
    Step.BAGGED: {
        Word.REPORT: _to(Step.BAGGED),
        Word.UNBAG: _to(Step.DECIDED),
        Word.HAND_OVER: _to(Step.AWAY),
        **_GONE,
    },
    Step.AWAY: {Word.REPORT: _to(Step.AWAY), Word.QUOTE: _QUOTE, Word.MISS: _to(Step.AWAY), **_BACK},
    Step.QUOTED: {
        Word.REPORT: _to(Step.QUOTED),
        Word.QUOTE: _QUOTE,
        Word.APPROVE: _to(Step.APPROVED),
        Word.DECLINE: _to(Step.DECLINED),
        Word.MISS: _to(Step.QUOTED),
        **_BACK,
    },
    Step.APPROVED: {Word.REPORT: _to(Step.APPROVED), Word.QUOTE: _QUOTE, Word.MISS: _to(Step.APPROVED), **_BACK},
    Step.DECLINED: {Word.REPORT: _to(Step.DECLINED), Word.MISS: _to(Step.DECLINED), **_BACK},
    Step.BACK: {
        Word.REPORT: _to(Step.BACK),
        Word.CHECK_IN: _to(Step.CHECKED, Step.DECIDED, Step.REPORTED),
        **_GONE,
    },
    Step.LOST: {Word.REPORT: _to(Step.LOST), Word.FIND: _to(Step.BACK), Word.RETIRE: _to(Step.RETIRED)},
    Step.CHECKED: {},
    Step.CLOSED: {},
    Step.RETIRED: {},
}


def possible(step: str) -> list[CareWord]:
    """What a person may do at this step, apart from reporting more."""
    return [word for word in TABLE[CareStep(step)] if word != Word.REPORT]


def sentence(step: str) -> str:
    """What is possible at this step, in a sentence."""
    words = ", ".join(str(word.label).lower() for word in possible(step))
    return _("Possible now: %(words)s.") % {"words": words} if words else _("This work is over.")
