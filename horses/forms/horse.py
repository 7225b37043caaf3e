from typing import Any, cast

from django import forms
from django.db.models import Model
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.basis import Form
from barnrugs.barns.forms.layout import DayField, FigureField, Sectioned, TimeInput
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.forms.seen import SeenForm
from barnrugs.barns.models import Barn, Person
from barnrugs.barns.models.barn import Units
from barnrugs.matching import limits, units
from horses.enums import Build, Clip, Feed, LinerPreference, OutPlan, Presence, VetSays
from horses.models import Horse, Paddock

NONE = ("", gettext_lazy("No preference"))
KEEPER = gettext_lazy("A keeper's eye and the veterinarian's word stand above any computed band.")


class HorseFields(Sectioned):
    headings = (
        (gettext_lazy("Who it is"), ("name", "stall", "looks", "birth_year", "call_number")),
        (gettext_lazy("Body and feed"), ("mass", "build", "feed", "liner_preference", "blanketed_since_autumn")),
        (gettext_lazy("Habits"), ("chews_own", "chews_others", "rolls", "head_shy")),
        (gettext_lazy("Needs"), ("thin", "old", "ill", "young", "must_be_covered")),
        (gettext_lazy("Turnout of its own"), ("out_plan", "out_from", "out_until")),
    )

    name = forms.CharField(
        label=gettext_lazy("Name"), max_length=60, help_text=gettext_lazy("As it is called in the barn.")
    )
    stall = forms.CharField(
        label=gettext_lazy("Stall"),
        max_length=20,
        required=False,
        help_text=gettext_lazy("What stands on its door; empty if it lives out."),
    )
    looks = forms.CharField(
        label=gettext_lazy("Colour and markings"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("So that somebody new takes the right horse."),
    )
    birth_year = forms.IntegerField(
        label=gettext_lazy("Year of birth"),
        required=False,
        min_value=1970,
        max_value=2100,
        help_text=gettext_lazy("Under four years it grows, and is measured every 90 days."),
    )
    call_number = forms.CharField(
        label=gettext_lazy("Number to call"),
        max_length=40,
        required=False,
        help_text=gettext_lazy("Whom to call when something is wrong with this horse."),
        widget=forms.TextInput(attrs={"type": "tel", "autocomplete": "off"}),
    )
    mass = FigureField(
        required=False, help_text=gettext_lazy("Empty: from the tape measure, if girth and length are known.")
    )
    build = forms.ChoiceField(
        label=gettext_lazy("Build"),
        choices=Build.choices,
        initial=Build.AVERAGE,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("Decides which cut suits: broad, standard or narrow."),
    )
    feed = forms.ChoiceField(
        label=gettext_lazy("Feed"),
        choices=Feed.choices,
        initial=Feed.MAINTENANCE,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("Hay is the best extra heat."),
    )
    liner_preference = forms.ChoiceField(
        label=gettext_lazy("Preferred lining"),
        choices=[NONE, *LinerPreference.choices],
        required=False,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("What lies best on its coat."),
    )
    blanketed_since_autumn = forms.BooleanField(
        label=gettext_lazy("Blanketed since autumn"),
        required=False,
        help_text=gettext_lazy("Its coat stays about a quarter shorter than that of a horse that went bare."),
    )
    chews_own = forms.BooleanField(
        label=gettext_lazy("Chews its own blanket"),
        required=False,
        help_text=gettext_lazy("It needs a strong shell."),
    )
    chews_others = forms.BooleanField(
        label=gettext_lazy("Chews others' blankets"),
        required=False,
        help_text=gettext_lazy("Every horse out with it needs a strong shell."),
    )
    rolls = forms.BooleanField(
        label=gettext_lazy("Rolls a lot"), required=False, help_text=gettext_lazy("Straps slip and seams give sooner.")
    )
    head_shy = forms.BooleanField(
        label=gettext_lazy("Head-shy"),
        required=False,
        help_text=gettext_lazy("Nothing that goes over the head is ever offered."),
    )
    thin = forms.BooleanField(label=gettext_lazy("Thin"), required=False, help_text=KEEPER)
    old = forms.BooleanField(label=gettext_lazy("Old"), required=False, help_text=KEEPER)
    ill = forms.BooleanField(label=gettext_lazy("Ill"), required=False, help_text=KEEPER)
    young = forms.BooleanField(
        label=gettext_lazy("Very young"),
        required=False,
        help_text=gettext_lazy("Foals are outside what the heat balance was checked on: the veterinarian decides."),
    )
    must_be_covered = forms.BooleanField(
        label=gettext_lazy("Must be covered whatever the rule"),
        required=False,
        help_text=gettext_lazy("Shown first when lists are made and the forecast is wrong."),
    )
    out_plan = forms.ChoiceField(
        label=gettext_lazy("Turnout"),
        choices=[("", gettext_lazy("As its paddock")), *OutPlan.choices],
        required=False,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("Only where it differs from its paddock's."),
    )
    out_from = forms.TimeField(
        label=gettext_lazy("Out from"),
        required=False,
        widget=TimeInput(),
        help_text=gettext_lazy("Empty: the usual time."),
    )
    out_until = forms.TimeField(
        label=gettext_lazy("In again at"),
        required=False,
        widget=TimeInput(),
        help_text=gettext_lazy("Empty: the usual time."),
    )

    def set_units(self, barn: Barn) -> None:
        self.in_us = barn.units == Units.US
        low, high = (units.lb_from_kg(kg) if self.in_us else kg for kg in limits.MASS_KG)
        mass = self.fields["mass"]
        mass.label = _("Body mass, pounds") if self.in_us else _("Body mass, kilograms")
        mass.help_text = f"{mass.help_text} " + _("From %(low)d to %(high)d.") % {"low": low, "high": high}

    def clean_mass(self) -> float | None:
        given: float | None = self.cleaned_data["mass"]
        if given is None:
            return None
        kg = units.kg_from_lb(given) if self.in_us else given
        low, high = limits.MASS_KG
        if not low - 0.5 <= kg <= high + 0.5:
            raise forms.ValidationError(_("This is outside what a horse weighs."))
        return min(max(kg, low), high)


FIELDS_SHOWN = {name: name for _title, names in HorseFields.headings for name in names if name != "mass"}


class NewHorseForm(HorseFields, OnceForm):
    def __init__(self, *args: Any, barn: Barn, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.set_units(barn)

    def values(self) -> dict[str, Any]:
        given = {name: self.cleaned_data[name] for name in FIELDS_SHOWN}
        return {**given, "mass_kg": self.cleaned_data["mass"]}


class HorseForm(HorseFields, SeenForm):
    fields_shown = {**FIELDS_SHOWN, "mass_kg": "mass"}

    def __init__(self, *args: Any, record: Model, **kwargs: Any) -> None:
        self.in_us = cast(Horse, record).barn.units == Units.US
        super().__init__(*args, record=record, **kwargs)
        self.set_units(cast(Horse, record).barn)

    def initial_of(self, record: Model) -> dict[str, Any]:
        kg = cast(Horse, record).mass_kg
        mass = None if kg is None else round(units.lb_from_kg(kg) if self.in_us else kg, 1)
        return super().initial_of(record) | {"mass": mass}


class HandlingForm(SeenForm):
    fields_shown = {"handling_note": "handling_note", "two_people": "two_people"}

    handling_note = forms.CharField(
        label=gettext_lazy("How to handle it"),
        max_length=300,
        required=False,
        help_text=gettext_lazy("What the next person must know before they go in: kicks, ties, turns, fears."),
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    two_people = forms.BooleanField(
        label=gettext_lazy("Needs two people"),
        required=False,
        help_text=gettext_lazy("Lists say so beside its name."),
    )


class VetForm(SeenForm):
    """The veterinarian's note, structured so that it can decide."""

    fields_shown = {name: name for name in ("vet_says", "vet_fill_g", "vet_tags", "vet_note", "vet_until")}

    vet_says = forms.ChoiceField(
        label=gettext_lazy("What the veterinarian says"),
        choices=VetSays.choices,
        required=False,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("This beats every other rule of the barn."),
    )
    vet_fill_g = forms.IntegerField(
        label=gettext_lazy("At least so many grams"),
        required=False,
        min_value=0,
        max_value=800,
        help_text=gettext_lazy("Only with “at least so many grams”: fill of all layers together."),
    )
    vet_tags = forms.CharField(
        label=gettext_lazy("These blankets"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("Only with “these blankets”: their tags with a space between."),
    )
    vet_note = forms.CharField(
        label=gettext_lazy("In the veterinarian's words"),
        max_length=300,
        required=False,
        help_text=gettext_lazy("Shown wherever this horse is dressed."),
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    vet_until = DayField(
        label=gettext_lazy("Until"),
        required=False,
        help_text=gettext_lazy("The last day the note holds; empty: until somebody changes it."),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        says = cleaned.get("vet_says")
        if says == VetSays.AT_LEAST and cleaned.get("vet_fill_g") is None:
            self.add_error("vet_fill_g", _("How many grams at least?"))
        if says == VetSays.THESE and not cleaned.get("vet_tags"):
            self.add_error("vet_tags", _("Which blankets? Give their tags."))
        return cleaned

    def values(self) -> dict[str, Any]:
        """What belongs to another answer than the chosen one is dropped, so that the note cannot contradict itself."""
        values = super().values()
        says = values["vet_says"]
        values["vet_fill_g"] = values["vet_fill_g"] if says == VetSays.AT_LEAST else None
        values["vet_tags"] = " ".join(values["vet_tags"].upper().split()) if says == VetSays.THESE else ""
        return values


class PresenceForm(OnceForm):
    presence = forms.ChoiceField(
        label=gettext_lazy("Where it is"),
        widget=forms.RadioSelect,
        help_text=gettext_lazy(
            "Only horses that are here stand on lists. A horse laid up stands in the walking order."
        ),
    )
    why = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("For the journal, if you like."),
    )

    def __init__(self, *args: Any, horse: Horse, for_good: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [choice for choice in Presence.choices if for_good or choice[0] not in (Presence.SOLD, Presence.DEAD)]
        field = cast(forms.ChoiceField, self.fields["presence"])
        field.choices = choices
        field.initial = horse.presence


class PlaceForm(OnceForm):
    """A place in the walking order: up, down, or a number."""

    to = forms.IntegerField(
        label=gettext_lazy("Place"), min_value=1, max_value=9999, help_text=gettext_lazy("1 is led out first.")
    )


class FilterForm(Form):
    """What the list of horses shows; every choice may be left open."""

    presence = forms.ChoiceField(
        label=gettext_lazy("Where"),
        required=False,
        choices=[("", gettext_lazy("Of this barn")), *Presence.choices, ("all", gettext_lazy("All, also the gone"))],
    )
    paddock = forms.ModelChoiceField(
        label=gettext_lazy("Paddock"), required=False, queryset=Paddock.objects.none(), empty_label=gettext_lazy("Any")
    )
    owner = forms.ModelChoiceField(
        label=gettext_lazy("Owner"), required=False, queryset=Person.objects.none(), empty_label=gettext_lazy("Anybody")
    )
    need = forms.ChoiceField(
        label=gettext_lazy("Needs"),
        required=False,
        choices=[
            ("", gettext_lazy("With or without")),
            ("any", gettext_lazy("Any need")),
            ("thin", gettext_lazy("Thin")),
            ("old", gettext_lazy("Old")),
            ("ill", gettext_lazy("Ill")),
            ("young", gettext_lazy("Very young")),
            ("covered", gettext_lazy("Must be covered")),
        ],
    )
    clip = forms.ChoiceField(
        label=gettext_lazy("Clip"), required=False, choices=[("", gettext_lazy("Any")), *Clip.choices]
    )

    def __init__(self, data: Any, *, barn: Barn, owners: bool) -> None:
        super().__init__(data)
        cast(forms.ModelChoiceField, self.fields["paddock"]).queryset = Paddock.objects.filter(barn=barn)
        if owners:
            people = Person.objects.filter(barn=barn, is_owner=True)
            cast(forms.ModelChoiceField, self.fields["owner"]).queryset = people
        else:
            del self.fields["owner"]

    def chosen(self) -> dict[str, Any]:
        """What was chosen; a choice that is none of ours counts as open."""
        self.is_valid()
        return {name: value for name, value in self.cleaned_data.items() if value}
