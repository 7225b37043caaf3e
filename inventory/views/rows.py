"""A blanket as a row of a list or the head of its page: words for a template."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils import formats
from django.utils.translation import gettext as _

from inventory import particulars
from inventory.domain import whereabouts
from inventory.enums import Clean, Sound, Wet, Where

OUT_OF_HAND = frozenset(Where) - {Where.ON_HORSE, Where.RACK, Where.DRYING}


@dataclass(frozen=True)
class Row:
    blanket: Any
    warmth: str
    size: str
    where: str
    in_hand: bool
    flags: tuple[str, ...]


def row(blanket: Any, today: date) -> Row:
    """Needs with_condition and search.with_looks."""
    return Row(
        blanket=blanket,
        warmth=particulars.warmth(blanket),
        size=particulars.size(blanket),
        where=whereabouts.phrase(blanket),
        in_hand=blanket.where not in OUT_OF_HAND,
        flags=tuple(flags(blanket, today)),
    )


def flags(blanket: Any, today: date) -> Iterator[str]:
    """What somebody reaching for it must know, the gravest first."""
    if blanket.sound == Sound.DO_NOT_USE:
        yield _("Do not use")
    if blanket.wet != Wet.DRY:
        yield _("Soaked") if blanket.wet == Wet.SOAKED else _("Still wet")
    if blanket.sound == Sound.TEMPORARY_FIX:
        yield fixed(blanket, today)
    if blanket.sound == Sound.REPAIR_DUE:
        yield _("Repair due")
    if blanket.clean == Clean.WASH_DUE:
        yield _("Wash due")
    if blanket.proofing_due:
        yield _("Waterproofing due")
    if blanket.back_due_on and blanket.back_due_on < today:
        yield _("Overdue: it was due back on %(day)s") % {"day": day(blanket.back_due_on)}


def fixed(blanket: Any, today: date) -> str:
    until = {"day": day(blanket.fixed_until)}
    if blanket.fixed_until < today:
        return _("Temporary fix only, and its day is past: %(day)s") % until
    return _("Temporary fix until %(day)s") % until


def day(when: date) -> str:
    return formats.date_format(when, "j M Y")
