from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.layout import DayField
from barnrugs.barns.forms.once import OnceForm
from inventory.enums import CheckOutcome
from inventory.forms.care import MoneyField, approved_by_field, damaged_part_field, note_field, offer
from inventory.models import CareJob


class BatchForm(OnceForm):
    """What goes, to whom, and until when. Takes work that went since, too: a form sent again is answered again."""

    to_whom = forms.CharField(
        label=gettext_lazy("To whom"), max_length=80, help_text=gettext_lazy("The cleaner or repairer.")
    )
    due_on = DayField(
        label=gettext_lazy("Due back"),
        required=False,
        help_text=gettext_lazy("A week is usual, two when they are busy."),
    )
    note = note_field()
    jobs = forms.ModelMultipleChoiceField(
        label=gettext_lazy("What goes"),
        queryset=CareJob.objects.none(),
        error_messages={"required": gettext_lazy("Tick at least one line first.")},
    )

    def __init__(self, *args: Any, among: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "jobs", among)


class HandOverForm(OnceForm):
    due_on = DayField(
        label=gettext_lazy("Due back"),
        required=False,
        help_text=gettext_lazy("A week is usual, two when they are busy."),
    )


class LineForm(OnceForm):
    """One line of the list, checked in by one tap; a cost and a note if there are any."""

    outcome = forms.ChoiceField(choices=CheckOutcome.choices)
    part = damaged_part_field()
    cost = MoneyField(
        label=gettext_lazy("Cost"), help_text=gettext_lazy("As on the bill; empty if nothing was charged.")
    )
    approved_by = approved_by_field()
    note = note_field()


class CheckBackForm(OnceForm):
    """A check-in was a mistake; `turn` is its work as it was shown."""

    turn = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
