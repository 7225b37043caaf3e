from datetime import date
from typing import Any, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.basis import Form
from barnrugs.barns.forms.layout import DayField, Sectioned, TimeInput
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.forms.seen import SeenForm
from horses.enums import OutPlan, Shelter
from horses.models import Horse, Paddock
from horses.queries import paddock as queries


class PaddockFields(Form):
    name = forms.CharField(
        label=gettext_lazy("Name"), max_length=60, help_text=gettext_lazy("As everybody in the barn calls it.")
    )
    shelter = forms.ChoiceField(
        label=gettext_lazy("Shelter"),
        choices=Shelter.choices,
        initial=Shelter.OPEN,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("A hedge or wall against the wind is a windbreak; a shed keeps rain off as well."),
    )
    out_plan = forms.ChoiceField(
        label=gettext_lazy("Turnout"),
        choices=OutPlan.choices,
        initial=OutPlan.DAY,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("For every horse that stands here and has no turnout of its own."),
    )
    out_from = forms.TimeField(
        label=gettext_lazy("Out from"),
        required=False,
        widget=TimeInput(),
        help_text=gettext_lazy("Empty: 07:00 by day, 16:00 for the night."),
    )
    out_until = forms.TimeField(
        label=gettext_lazy("In again at"),
        required=False,
        widget=TimeInput(),
        help_text=gettext_lazy("Empty: 16:00 by day, 07:00 after the night."),
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("What somebody new must know: a gate, mud, who may not stand together."),
    )


FIELDS = ("name", "shelter", "out_plan", "out_from", "out_until", "note")


class NewPaddockForm(PaddockFields, OnceForm):
    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in FIELDS}


class PaddockForm(PaddockFields, SeenForm):
    fields_shown = {name: name for name in FIELDS}


class StayForm(Sectioned, OnceForm):
    """Where a horse stands from a day on."""

    paddock = forms.ModelChoiceField(
        label=gettext_lazy("Paddock"),
        queryset=Paddock.objects.none(),
        required=False,
        widget=forms.RadioSelect,
        empty_label=gettext_lazy("No paddock: it stays in"),
        help_text=gettext_lazy("Who stands there too decides how strong its shell must be."),
    )
    since = DayField(
        label=gettext_lazy("From"),
        help_text=gettext_lazy("The first day in the new paddock; it may be to come."),
    )

    def __init__(self, *args: Any, horse: Horse, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        stay = queries.open_stay(horse)
        field = cast(forms.ModelChoiceField, self.fields["paddock"])
        field.queryset = queries.of(horse.barn)
        field.initial = stay.paddock_id if stay else ""
        self.fields["since"].initial = today
        self.today = today

    def clean_since(self) -> date:
        since: date = self.cleaned_data["since"]
        if abs((since - self.today).days) > 366:
            raise forms.ValidationError(_("This is more than a year from today."))
        return since
