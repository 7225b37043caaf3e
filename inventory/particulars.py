"""A blanket's particulars as words: what a record says, what a change changed, as a person reads it."""

from collections.abc import Mapping
from typing import Any, Final

from django.db.models import Field, Model
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.models import Person
from barnrugs.matching import strength
from horses import sizes
from horses.models import Horse
from inventory.enums import Kind, Waterproofing, Wet, Where
from inventory.models import Blanket

NAMES: Final = {
    "owner": gettext_lazy("owner"),
    "usual_horse": gettext_lazy("usual horse"),
    "kind": gettext_lazy("kind"),
    "looks": gettext_lazy("colour and marks"),
    "size_given": gettext_lazy("size"),
    "size_system": gettext_lazy("size system"),
    "size_in": gettext_lazy("inches"),
    "size_back_cm": gettext_lazy("back length"),
    "cut": gettext_lazy("cut"),
    "fill_g": gettext_lazy("fill in grams"),
    "denier": gettext_lazy("denier"),
    "waterproofing": gettext_lazy("waterproofing"),
    "water_head_mm": gettext_lazy("water head in mm"),
    "breathable": gettext_lazy("breathable"),
    "lining": gettext_lazy("lining"),
    "front": gettext_lazy("front closure"),
    "surcingles": gettext_lazy("surcingles"),
    "leg_straps": gettext_lazy("leg straps"),
    "tail_flap": gettext_lazy("tail flap"),
    "neck": gettext_lazy("neck"),
    "gussets": gettext_lazy("shoulder gussets"),
    "back_seam": gettext_lazy("back seam"),
    "windproof": gettext_lazy("windproof"),
    "bought_on": gettext_lazy("bought on"),
    "price": gettext_lazy("price"),
    "proofed_on": gettext_lazy("last waterproofed"),
    "rack": gettext_lazy("where it hangs"),
    "storage_place": gettext_lazy("where it is stored"),
    "note": gettext_lazy("note"),
}
"""Every particular that a person may enter, in the order of the form."""

UNSAID: Final = frozenset({"size_system", "size_in", "size_back_cm"})
"""Particulars that follow from another one, so that a change of them is told by that one."""

REFERRED: Final[Mapping[str, type[Model]]] = {"owner": Person, "usual_horse": Horse}
"""References: the journal keeps the number of what was referred to and, under the field's name with _name, its name."""


def thing(name: str, number: int | None) -> Model | None:
    return REFERRED[name]._default_manager.filter(pk=number).first() if number else None


def named(values: Mapping[str, Any]) -> dict[str, Any]:
    """Plain values with the names of what they refer to, so that they can be read when the thing has another name."""
    names = {f"{name}_name": str(thing(name, values[name]) or "") for name in REFERRED if name in values}
    return {**values, **names}


def changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    """What differs: name, before and after, in words."""
    found = []
    for name, words in NAMES.items():
        key = f"{name}_name" if name in REFERRED else name
        if name not in UNSAID and key in after and before.get(key) != after[key]:
            found.append((str(words), in_words(name, before.get(key)), in_words(name, after[key])))
    return found


def in_words(name: str, value: Any) -> str:
    if value is None or value == "":
        return _("the barn's own") if name == "owner" else _("nothing")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    field = Blanket._meta.get_field(name)
    choices = dict(field.flatchoices) if isinstance(field, Field) and name not in REFERRED else {}
    return str(choices.get(value, value))


def tell_changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, str]:
    """The words {changes} of a journal sentence."""
    told = [
        _("%(what)s from %(before)s to %(after)s") % {"what": what, "before": old, "after": new}
        for what, old, new in changes(before, after)
    ]
    return {"changes": "; ".join(told) or _("nothing that you may see")}


FILL_WORDS: Final = {
    strength.FillWord.SHEET: gettext_lazy("no fill"),
    strength.FillWord.LIGHT: gettext_lazy("light"),
    strength.FillWord.MEDIUM: gettext_lazy("medium"),
    strength.FillWord.HEAVY: gettext_lazy("heavy"),
}


def warmth(blanket: Blanket) -> str:
    """The weight word with the grams, for example "medium, 200 g"."""
    word = str(FILL_WORDS[strength.fill_word(blanket.fill_g)])
    return f"{word}, {blanket.fill_g} g" if blanket.fill_g else word


def size(blanket: Blanket) -> str:
    """The size on its own line, and as given where that is another way of writing it."""
    if blanket.size_in is not None:
        shown = f"{sizes.as_inches(blanket.size_in)} ({sizes.as_feet(blanket.size_in)})"
    elif blanket.size_back_cm is not None:
        shown = _("%(cm)s cm along the back") % {"cm": f"{blanket.size_back_cm:g}"}
    else:
        return blanket.size_given
    plain = blanket.size_given.strip().rstrip('"').strip()
    if not plain or plain in shown:
        return shown
    return _("%(size)s, given as %(given)s") % {"size": shown, "given": blanket.size_given}


def short_size(blanket: Blanket) -> str:
    """For a label: 78" or 145 cm."""
    if blanket.size_in is not None:
        return sizes.as_inches(blanket.size_in)
    return f"{blanket.size_back_cm:g} cm" if blanket.size_back_cm is not None else blanket.size_given


def outside(blanket: Blanket) -> tuple[str, str]:
    """May this one go outside: a verdict's word (wear, caution, no) and the sentence that says why."""
    if blanket.kind not in OUTDOORS:
        return "no", _("Not for outside: %(kind)s.") % {"kind": blanket.get_kind_display()}
    if blanket.waterproofing == Waterproofing.WATERPROOF:
        return "wear", _("May go outside, in rain too.")
    if blanket.waterproofing == Waterproofing.RESISTANT:
        return "caution", _("May go outside; water-resistant only, so not for long rain.")
    return "caution", _("May go outside in dry weather only: it is not waterproof.")


def outside_now(blanket: Any) -> tuple[str, str]:
    """The same as it is now: its state stands above its kind; needs with_condition."""
    lasting = outside(blanket)
    if lasting[0] == "no":
        return lasting
    if blanket.where in {Where.LOST, Where.RETIRED}:
        return "no", _("Not now: %(where)s.") % {"where": str(Where(blanket.where).label).lower()}
    if blanket.is_unsafe:
        return "no", _("Not now: it is marked do not use.")
    if blanket.wet == Wet.SOAKED:
        return "no", _("Not now: it is soaked.")
    if blanket.wet == Wet.DRYING:
        return "no", _("Not now: it is drying.")
    return lasting


OUTDOORS: Final = frozenset({Kind.TURNOUT, Kind.RAIN_SHEET, Kind.SHEET, Kind.FLY_SHEET, Kind.NECK_COVER})


def doubts(blanket: Blanket) -> list[str]:
    """What looks wrong in a record and may still be right: said, never refused."""
    found = []
    if blanket.kind == Kind.TURNOUT and blanket.back_seam:
        found.append(_("A turnout with a seam along the back leaks at the seam: look whether it is a stable blanket."))
    if blanket.kind in {Kind.TURNOUT, Kind.RAIN_SHEET} and blanket.waterproofing == Waterproofing.NONE:
        found.append(_("It is entered as not waterproof, so it is never offered for rain."))
    if blanket.kind in {Kind.SHEET, Kind.RAIN_SHEET, Kind.FLY_SHEET} and blanket.fill_g:
        found.append(_("Sheets have no fill: look at the label once more."))
    if blanket.fill_g > THICKEST_USUAL_G:
        found.append(_("More than %(most)d g is rare: look at the label once more.") % {"most": THICKEST_USUAL_G})
    if blanket.kind == Kind.TURNOUT and blanket.denier is None:
        found.append(_("Without a denier nobody can say whether its shell is strong enough for its horse."))
    if blanket.kind not in SIZELESS and blanket.size_in is None and blanket.size_back_cm is None:
        found.append(_("Without a size nobody can say whom it fits."))
    return found


THICKEST_USUAL_G: Final = 450
"""Fills above this are rarely made (common practice, no source)."""

SIZELESS: Final = frozenset({Kind.NECK_COVER, Kind.EXERCISE_SHEET})
"""Kinds whose size is not the line from chest to tail."""
