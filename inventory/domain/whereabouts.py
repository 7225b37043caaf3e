"""Where a blanket is, as one short phrase; needs the annotations of queries.blankets.with_condition."""

from typing import Any

from django.utils import formats
from django.utils.translation import gettext as _

from inventory.enums import Where


def phrase(blanket: Any) -> str:
    """For example "on Juniper", "on its rack (tack room, hook 4)", "drying (boiler room)"."""
    place = blanket.placing_place
    phrases = {
        Where.ON_HORSE: _("on %(horse)s") % {"horse": blanket.horse_now},
        Where.BAGGED: _("bagged for the cleaner"),
        Where.AWAY: _at(_("at the cleaner or repairer"), blanket.care_with),
        Where.UNCHECKED: _("back but unchecked"),
        Where.RACK: _at(_("on its rack"), blanket.rack or place),
        Where.DRYING: _at(_("drying"), place),
        Where.HOME: _("at its owner's home"),
        Where.STORED: _at(_("stored away"), place or blanket.storage_place),
        Where.LENT: _lent(blanket),
        Where.LOST: _("lost"),
        Where.RETIRED: _("retired"),
    }
    return phrases[Where(blanket.where)]


def _at(words: str, place: str | None) -> str:
    return f"{words} ({place})" if place else words


def _lent(blanket: Any) -> str:
    words = _("lent to %(whom)s") % {"whom": blanket.lent_to} if blanket.lent_to else _("lent")
    if not blanket.back_due_on:
        return words
    return _("%(lent)s, due back %(day)s") % {"lent": words, "day": formats.date_format(blanket.back_due_on, "j M")}
