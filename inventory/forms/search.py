"""What the inventory can be narrowed to, as an address: every part is a plain link or a box to tick."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from barnrugs.barns import access
from barnrugs.barns.forms.basis import Form
from barnrugs.barns.models import Person
from barnrugs.matching.strength import FillWord
from horses import sizes
from horses.models import Horse
from inventory.enums import Clean, Kind, Sound, Waterproofing, Wet, Where
from inventory.models import Blanket
from inventory.queries.search import BARNS_OWN, NOBODYS, Asked

PAGE = "page"

FILLS = [
    (FillWord.SHEET.value, _("No fill")),
    (FillWord.LIGHT.value, _("Light, to 100 g")),
    (FillWord.MEDIUM.value, _("Medium")),
    (FillWord.HEAVY.value, _("Heavy, from 250 g")),
]
ORDER_WORDS = {
    "tag": _("tag"),
    "horse": _("usual horse"),
    "kind": _("kind"),
    "fill": _("heaviest first"),
    "size": _("size"),
    "where": _("where it is"),
    "washed": _("longest unwashed first"),
    "proofed": _("longest unproofed first"),
}


@dataclass(frozen=True)
class Chip:
    """One active filter, and the address without it."""

    words: str
    without: str


class SearchForm(Form):
    q = forms.CharField(
        label=_("Tag or words"),
        required=False,
        max_length=80,
        help_text=_(
            "A whole tag opens the blanket. Words narrow the list: horse, weight, color, kind or hook, in any order."
        ),
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off", "autocapitalize": "characters"}),
    )
    kind = forms.MultipleChoiceField(label=_("Kind"), required=False, choices=Kind.choices)
    fill = forms.MultipleChoiceField(label=_("Weight"), required=False, choices=FILLS)
    proof = forms.MultipleChoiceField(label=_("In rain"), required=False, choices=Waterproofing.choices)
    where = forms.MultipleChoiceField(label=_("Where it is"), required=False, choices=Where.choices)
    wet = forms.MultipleChoiceField(label=_("Wet"), required=False, choices=Wet.choices)
    wash = forms.MultipleChoiceField(label=_("Clean"), required=False, choices=Clean.choices)
    sound = forms.MultipleChoiceField(label=_("Sound"), required=False, choices=Sound.choices)
    proofing = forms.MultipleChoiceField(
        label=_("Waterproofing"), required=False, choices=[("due", _("Waterproofing due"))]
    )
    size = forms.CharField(label=_("Size"), required=False, max_length=20, help_text=_("Like 78, 6'6 or 198 cm."))
    horse = forms.MultipleChoiceField(label=_("Horse"), required=False)
    owner = forms.MultipleChoiceField(label=_("Owner"), required=False)
    sort = forms.ChoiceField(label=_("Sorted by"), required=False, choices=list(ORDER_WORDS.items()))

    data: QueryDict
    tiles = ("kind", "fill", "proof", "where", "wet", "wash", "sound", "proofing", "horse", "owner", "sort")

    def __init__(self, data: QueryDict, *, person: Person) -> None:
        super().__init__(data)
        horses = access.rows(person, Horse).values_list("pk", "name")
        seen = access.rows(person, Blanket).order_by().values("owner")
        owners = Person.objects.filter(pk__in=seen).values_list("pk", "name")
        self.fields["horse"].choices = [(NOBODYS, _("No one horse")), *((str(pk), name) for pk, name in horses)]  # type: ignore[attr-defined]
        self.fields["owner"].choices = [(BARNS_OWN, _("The barn's own")), *((str(pk), name) for pk, name in owners)]  # type: ignore[attr-defined]
        for name in self.tiles:
            self.fields[name].widget = forms.CheckboxSelectMultiple(choices=self.fields[name].choices)  # type: ignore[attr-defined]
        self.fields["sort"].widget = forms.RadioSelect(choices=list(ORDER_WORDS.items()))

    @property
    def tile_fields(self) -> list[tuple[str, BoundField]]:
        return [(name, self[name]) for name in self.tiles]

    def clean_size(self) -> sizes.Size | None:
        typed = self.cleaned_data["size"]
        if not typed:
            return None
        try:
            return sizes.read(typed)
        except sizes.BadSize as said:
            raise forms.ValidationError(str(said)) from None

    def asked(self) -> Asked:
        """What was asked for; a part that does not hold narrows nothing, and the form says so."""
        self.full_clean()
        parts = {name: self.cleaned_data.get(name) or [] for name in self.tiles}
        size: sizes.Size | None = self.cleaned_data.get("size")
        return Asked(
            words=self.cleaned_data.get("q", ""),
            kinds=parts["kind"],
            fills=parts["fill"],
            waterproofing=parts["proof"],
            where=parts["where"],
            wet=parts["wet"],
            clean=parts["wash"],
            sound=parts["sound"],
            size_in=size.inches if size else None,
            size_back_cm=size.back_cm if size else None,
            owners=parts["owner"],
            horses=parts["horse"],
            proofing_due=bool(parts["proofing"]),
            order=self.cleaned_data.get("sort") or "tag",
        )

    def chips(self) -> list[Chip]:
        return list(self._chips())

    def _chips(self) -> Iterator[Chip]:
        for name in ("q", "size"):
            if self.data.get(name) and name not in self.errors:
                yield Chip(self._said(name), self._without(name, str(self.data[name])))
        for name in self.tiles:
            if name == "sort" or name in self.errors:
                continue
            words: dict[str, Any] = dict(self.fields[name].choices)  # type: ignore[attr-defined]
            for value in self.cleaned_data.get(name, []):
                yield Chip(str(words[value]), self._without(name, value))

    def _said(self, name: str) -> str:
        return f"“{self.data[name]}”" if name == "q" else f"{self.fields[name].label} {self.data[name]}"

    def _without(self, name: str, value: str) -> str:
        left = self.data.copy()
        left.setlist(name, [other for other in left.getlist(name) if other != value])
        left.pop(PAGE, None)
        return left.urlencode()

    def query(self) -> str:
        """The address of this view without its page: what a saved view keeps."""
        kept = self.data.copy()
        for name in [name for name in kept if name not in self.fields or not any(kept.getlist(name))]:
            del kept[name]
        return kept.urlencode()
