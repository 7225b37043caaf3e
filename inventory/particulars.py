"""A blanket's particulars as words: what a record says, what a change changed, as a person reads it."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, Final

from django.db.models import Field
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

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

PEOPLE_AND_HORSES: Final = frozenset({"owner", "usual_horse"})
"""References: the journal keeps their names beside their numbers, under the field's name with _name."""


def values(blanket: Blanket) -> dict[str, Any]:
    """The record as plain values, so that two readings can be compared; references as number, with the name beside."""
    found: dict[str, Any] = {}
    for name in NAMES:
        if name in PEOPLE_AND_HORSES:
            thing = getattr(blanket, name)
            found[f"{name}_id"] = thing.pk if thing else None
            found[f"{name}_name"] = str(thing) if thing else ""
        else:
            found[name] = _plain(getattr(blanket, name))
    return found


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    return value if value is None or isinstance(value, bool | int) else str(value)


def _field(name: str) -> "Field[Any, Any]":
    return Blanket._meta.get_field(name)  # type: ignore[return-value]


def changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    """What differs: name, before and after, in words."""
    found = []
    for name, words in NAMES.items():
        key = f"{name}_name" if name in PEOPLE_AND_HORSES else name
        if name not in UNSAID and key in after and before.get(key) != after[key]:
            found.append((str(words), in_words(name, before.get(key)), in_words(name, after[key])))
    return found


def in_words(name: str, value: Any) -> str:
    if value is None or value == "":
        return _("the barn's own") if name == "owner" else _("nothing")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    choices = dict(_field(name).flatchoices) if name not in PEOPLE_AND_HORSES else {}
    return str(choices.get(value, value))


def tell_changes(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, str]:
    """The words {changes} of a journal sentence."""
    told = [
        _("%(what)s from %(before)s to %(after)s") % {"what": what, "before": old, "after": new}
        for what, old, new in changes(before, after)
    ]
    return {"changes": "; ".join(told) or _("nothing that you may see")}
