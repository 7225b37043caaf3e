"""One blanket's particulars and answers, as pairs of words for its page."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from inventory import particulars
from inventory.domain import whereabouts
from inventory.enums import Clean, Sound, Wet
from inventory.views.rows import day, fixed

Pair = tuple[str, str]


def answers(blanket: Any, today: date) -> list[Pair]:
    """The four answers, each with what it follows from."""
    return [
        (_("Where"), _capital(whereabouts.phrase(blanket))),
        (_("Wet"), str(Wet(blanket.wet).label)),
        (_("Clean"), _clean(blanket)),
        (
            _("Sound"),
            fixed(blanket, today) if blanket.sound == Sound.TEMPORARY_FIX else str(Sound(blanket.sound).label),
        ),
        (_("Waterproofed"), _proofed(blanket)),
    ]


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _clean(blanket: Any) -> str:
    word = str(Clean(blanket.clean).label)
    if not blanket.washed_at:
        return _("%(word)s; no wash is on record") % {"word": word}
    return _("%(word)s; last washed %(day)s") % {"word": word, "day": day(timezone.localtime(blanket.washed_at).date())}


def _proofed(blanket: Any) -> str:
    last = (
        _("last on %(day)s") % {"day": day(blanket.last_proofed_on)}
        if blanket.last_proofed_on
        else _("never on record")
    )
    return _("Due; %(last)s") % {"last": last} if blanket.proofing_due else _capital(last)


def sections(blanket: Any, *, sees_money: bool, currency: str) -> list[tuple[str, list[Pair]]]:
    """Every particular that is known, under headings; what is not known is left out."""
    parts = [
        (_("What it is"), _identity(blanket)),
        (_("Size"), _sized(blanket)),
        (_("Shell and lining"), _shell(blanket)),
        (_("Neck and fastenings"), _fastenings(blanket)),
        (_("Kept and bought"), _kept(blanket)),
    ]
    if sees_money:
        parts.append((_("Money"), _money(blanket, currency)))
    return [(title, pairs) for title, found in parts if (pairs := [(name, value) for name, value in found if value])]


def _identity(blanket: Any) -> Iterator[Pair]:
    yield _("Kind"), blanket.get_kind_display()
    yield _("Fill"), particulars.warmth(blanket)
    yield _("Colour and marks"), blanket.looks
    yield _("Usual horse"), str(blanket.usual_horse or _("no one horse"))
    yield _("Owner"), str(blanket.owner or _("the barn's own"))


def _sized(blanket: Any) -> Iterator[Pair]:
    yield _("Size"), particulars.size(blanket)
    yield _("Cut"), blanket.get_cut_display()


def _shell(blanket: Any) -> Iterator[Pair]:
    yield _("Waterproofing"), blanket.get_waterproofing_display()
    yield _("Shell"), _("%(figure)d denier") % {"figure": blanket.denier} if blanket.denier else ""
    yield _("Water head"), f"{blanket.water_head_mm} mm" if blanket.water_head_mm else ""
    yield _("Breathable"), _("yes") if blanket.breathable else _("no, or not known")
    yield _("Windproof"), "" if blanket.windproof is None else _yes(blanket.windproof)
    yield _("Seam along the back"), _("yes") if blanket.back_seam else ""
    yield _("Lining"), blanket.get_lining_display()


def _fastenings(blanket: Any) -> Iterator[Pair]:
    yield _("Neck"), blanket.get_neck_display()
    yield _("Front closure"), blanket.get_front_display()
    yield _("Surcingles"), blanket.get_surcingles_display()
    yield _("Leg straps"), _("yes") if blanket.leg_straps else ""
    yield _("Tail flap"), blanket.get_tail_flap_display()
    yield _("Shoulder gussets"), _("yes") if blanket.gussets else ""


def _kept(blanket: Any) -> Iterator[Pair]:
    yield _("Where it hangs"), blanket.rack
    yield _("Stored at"), blanket.storage_place
    yield _("Bought on"), day(blanket.bought_on) if blanket.bought_on else ""
    yield _("Note"), blanket.note


def _money(blanket: Any, currency: str) -> Iterator[Pair]:
    yield _("Price"), "" if blanket.price is None else f"{blanket.price} {currency}"
    yield _("Care so far"), f"{blanket.care_cost:.2f} {currency}"


def _yes(value: bool) -> str:
    return _("yes") if value else _("no")
