"""A blanket's particulars as one enters them."""

from datetime import date
from decimal import Decimal
from typing import Any, ClassVar, cast

from django import forms
from django.db.models import Model, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns import access
from barnrugs.barns.forms.layout import DayField, Sectioned
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.forms.seen import SeenForm
from barnrugs.barns.models import Person
from horses import sizes
from horses.enums import SizeSystem
from horses.models import Horse
from inventory import particulars
from inventory.enums import Cut, Front, Kind, Lining, Neck, Surcingles, TailFlap, Waterproofing
from inventory.forms.care import MoneyField
from inventory.forms.pictures import PictureMayFail
from inventory.models import Blanket

UNKNOWN = ("", gettext_lazy("Not known"))
YES_NO = [UNKNOWN, ("True", gettext_lazy("Yes")), ("False", gettext_lazy("No"))]


class BlanketForm(SeenForm, Sectioned):
    headings: ClassVar = (
        (gettext_lazy("What it is"), ("kind", "fill_g", "looks", "usual_horse", "owner", "picture")),
        (gettext_lazy("Size"), ("size", "size_system", "cut")),
        (
            gettext_lazy("Shell and lining"),
            ("waterproofing", "denier", "water_head_mm", "breathable", "windproof", "back_seam", "lining"),
        ),
        (
            gettext_lazy("Neck and fastenings"),
            ("neck", "front", "surcingles", "leg_straps", "tail_flap", "gussets"),
        ),
        (
            gettext_lazy("Kept and bought"),
            ("rack", "storage_place", "proofed_on", "bought_on", "price", "note"),
        ),
    )
    fields_shown: ClassVar = {
        **{name: name for name in particulars.NAMES if name not in particulars.UNSAID},
        "size_given": "size",
        "size_system": "size_system",
    }

    kind = forms.ChoiceField(
        label=gettext_lazy("Kind"),
        choices=Kind.choices,
        help_text=gettext_lazy("A turnout is made for outdoors; a stable blanket leaves a wet horse colder than none."),
    )
    fill_g = forms.IntegerField(
        label=gettext_lazy("Fill, grams per square metre"),
        min_value=0,
        max_value=800,
        initial=0,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        help_text=gettext_lazy("From the label; 0 where there is no fill. To 100 is light, from 250 heavy."),
    )
    looks = forms.CharField(
        label=gettext_lazy("Colour and marks"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("So that nobody takes another off the pile: colour, binding, a patch, a torn corner."),
    )
    usual_horse = forms.ModelChoiceField(
        Horse.objects.none(),
        label=gettext_lazy("Usual horse"),
        required=False,
        empty_label=gettext_lazy("No one horse"),
        help_text=gettext_lazy("The horse it is meant for; others need its owner's leave."),
    )
    owner = forms.ModelChoiceField(
        Person.objects.none(),
        label=gettext_lazy("Owner"),
        required=False,
        empty_label=gettext_lazy("The barn's own"),
        help_text=gettext_lazy("Who supplied it. The barn's own may be offered to any horse."),
    )
    size = forms.CharField(
        label=gettext_lazy("Size, as on the label"),
        max_length=20,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        help_text=gettext_lazy("Like 78, 78\", 6'6, 6 ft 6 or 198 cm."),
    )
    size_system = forms.ChoiceField(
        label=gettext_lazy("How the size is given"),
        choices=SizeSystem.choices,
        initial=SizeSystem.INCHES,
        help_text=gettext_lazy("Centimetres along the back are another line than chest to tail, and are kept apart."),
    )
    cut = forms.ChoiceField(
        label=gettext_lazy("Cut"),
        choices=Cut.choices,
        help_text=gettext_lazy("Broad cuts for stocky horses, narrow ones for fine horses."),
    )
    waterproofing = forms.ChoiceField(
        label=gettext_lazy("Waterproofing"),
        choices=Waterproofing.choices,
        help_text=gettext_lazy("As it is now, not as it was when new: it decides what may be offered for rain."),
    )
    denier = forms.IntegerField(
        label=gettext_lazy("Shell, denier"),
        required=False,
        min_value=50,
        max_value=5000,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        help_text=gettext_lazy("Strength of the shell: about 600, 1200 or 2100. Neither warmth nor waterproofness."),
    )
    water_head_mm = forms.IntegerField(
        label=gettext_lazy("Water head, mm"),
        required=False,
        min_value=0,
        max_value=50_000,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        help_text=gettext_lazy("If the label gives one."),
    )
    breathable = forms.TypedChoiceField(
        label=gettext_lazy("Breathable"),
        choices=[("False", gettext_lazy("No, or not known")), ("True", gettext_lazy("Yes"))],
        required=False,
        coerce=lambda text: text == "True",
        empty_value=False,  # type: ignore[arg-type]  # the stubs know text only
        help_text=gettext_lazy("One that is not, or of which nobody knows, is never offered on a wet horse."),
    )
    windproof = forms.TypedChoiceField(
        label=gettext_lazy("Windproof"),
        choices=YES_NO,
        required=False,
        coerce=lambda text: text == "True",
        empty_value=None,
        help_text=gettext_lazy("Leave it open if nobody knows: a waterproof shell is taken to stop wind."),
    )
    back_seam = forms.BooleanField(
        label=gettext_lazy("Seam along the back"),
        required=False,
        help_text=gettext_lazy("Usual on stable blankets; on a turnout it leaks."),
    )
    lining = forms.ChoiceField(
        label=gettext_lazy("Lining, next to the coat"),
        choices=[UNKNOWN, *Lining.choices],
        required=False,
        help_text=gettext_lazy("Nylon lies smooth on the coat; some horses are kept on fleece or felt."),
    )
    neck = forms.ChoiceField(
        label=gettext_lazy("Neck"),
        choices=Neck.choices,
        help_text=gettext_lazy("A detachable one is advised on or off with the weather."),
    )
    front = forms.ChoiceField(
        label=gettext_lazy("Front closure"),
        choices=Front.choices,
        help_text=gettext_lazy("A closed front goes over the head and is never offered to a head-shy horse."),
    )
    surcingles = forms.ChoiceField(
        label=gettext_lazy("Surcingles"),
        choices=[UNKNOWN, *Surcingles.choices],
        required=False,
        help_text=gettext_lazy("The straps under the belly."),
    )
    leg_straps = forms.BooleanField(
        label=gettext_lazy("Leg straps"),
        required=False,
        help_text=gettext_lazy("Undone first when it comes off, fastened last when it goes on."),
    )
    tail_flap = forms.ChoiceField(
        label=gettext_lazy("Tail flap"),
        choices=[("", gettext_lazy("None or not known")), *TailFlap.choices],
        required=False,
        help_text=gettext_lazy("The piece over the tail."),
    )
    gussets = forms.BooleanField(
        label=gettext_lazy("Shoulder gussets"),
        required=False,
        help_text=gettext_lazy("Folds that give the shoulder room to move."),
    )
    rack = forms.CharField(
        label=gettext_lazy("Where it hangs"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("Its own place while it is in use: whoever looks for it goes there first."),
    )
    storage_place = forms.CharField(
        label=gettext_lazy("Where it is stored out of season"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("Sealed, off the floor."),
    )
    proofed_on = DayField(
        label=gettext_lazy("Last waterproofed"),
        required=False,
        help_text=gettext_lazy("About a year later it is due again. For a new one the day it was bought."),
    )
    bought_on = DayField(label=gettext_lazy("Bought on"), required=False, help_text=gettext_lazy("For its age."))
    price = MoneyField(
        label=gettext_lazy("Price"),
        help_text=gettext_lazy("To weigh a repair against a new one. Only its owner and managers see it."),
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("Anything else whoever takes it in hand should know."),
    )

    def __init__(self, *args: Any, record: Blanket, person: Person, today: date, **kwargs: Any) -> None:
        self.person, self.today = person, today
        if not (record.pk or person.is_manager):
            record.owner = person
        super().__init__(*args, record=record, **kwargs)
        self.given |= {"person": person, "today": today}
        self._offer(record)

    def _offer(self, record: Blanket) -> None:
        """Only what this person may name; what the record names already stays nameable."""
        horses = access.rows(self.person, Horse).values("pk")
        horse_field = cast(forms.ModelChoiceField, self.fields["usual_horse"])
        horse_field.queryset = Horse.objects.filter(Q(pk__in=horses) | Q(pk=record.usual_horse_id))
        owner_field = cast(forms.ModelChoiceField, self.fields["owner"])
        here = Q(is_owner=True, left_at__isnull=True) | Q(pk=record.owner_id)
        owner_field.queryset = Person.objects.filter(here, barn=self.person.barn)
        if not self.person.is_manager:
            owner_field.disabled, owner_field.widget = True, forms.HiddenInput()

    def initial_of(self, record: Model) -> dict[str, Any]:
        record = cast(Blanket, record)
        shown = super().initial_of(record)
        known = record.size_in if record.size_in is not None else record.size_back_cm
        shown["size"] = shown.pop("size_given") or ("" if known is None else f"{known:g}")
        return shown | {"windproof": "" if record.windproof is None else str(record.windproof)}

    def clean_price(self) -> Decimal | None:
        """With its cents, so that a price typed again is no change."""
        price: Decimal | None = self.cleaned_data["price"]
        return None if price is None else price.quantize(Decimal("0.01"))

    def clean_bought_on(self) -> date | None:
        return self._past("bought_on")

    def clean_proofed_on(self) -> date | None:
        return self._past("proofed_on")

    def _past(self, name: str) -> date | None:
        day: date | None = self.cleaned_data[name]
        if day and day > self.today:
            raise forms.ValidationError(_("This day is still to come."))
        return day

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        typed = cleaned.get("size")
        if typed and "size_system" in cleaned:
            try:
                cleaned["read"] = sizes.read(typed, SizeSystem(cleaned["size_system"]))
            except sizes.BadSize as said:
                self.add_error("size", str(said))
        return cleaned

    def values(self) -> dict[str, Any]:
        size: sizes.Size | None = self.cleaned_data.get("read")
        figures: dict[str, Any] = {"size_in": None, "size_back_cm": None}
        if size:
            figures = {"size_in": size.inches, "size_back_cm": size.back_cm, "size_system": size.system.value}
        return super().values() | figures


class NewBlanketForm(PictureMayFail, BlanketForm):
    """The same for a new blanket."""

    def __init__(self, *args: Any, record: Blanket, **kwargs: Any) -> None:
        """Nothing is ready-made that decides about warmth, rain or a wet horse: whoever has it in hand looks."""
        if not record.kind:
            record.breathable = False
        super().__init__(*args, record=record, **kwargs)
        del self.fields["seen"]
        self.fields["picture"].help_text = _(
            "Spread out, from the side. The blanket is saved even if its picture fails."
        )
        if not record.kind:
            self.initial["fill_g"] = ""
            for name in ("kind", "waterproofing"):
                field = cast(forms.ChoiceField, self.fields[name])
                field.choices = [("", _("Choose")), *cast(list, field.choices)]
                self.initial[name] = ""


class WhyForm(OnceForm):
    """A tap, with room for a reason."""

    why = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("Kept in the log beside what was done."),
    )
