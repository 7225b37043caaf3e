from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns import access
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.models import Person
from inventory.forms.care import offer
from inventory.models import Blanket

ACTS = (
    ("ask_wash", gettext_lazy("Ask for a wash")),
    ("ask_repair", gettext_lazy("Ask for a repair")),
    ("ask_proofing", gettext_lazy("Ask for waterproofing")),
    ("store", gettext_lazy("Stored away")),
    ("fetch", gettext_lazy("Fetched from storage")),
)


class SeasonForm(OnceForm):
    act = forms.ChoiceField(choices=ACTS)
    place = forms.CharField(
        label=gettext_lazy("Where it is stored"),
        required=False,
        max_length=60,
        help_text=gettext_lazy("So that it is found in autumn."),
    )
    blankets = forms.ModelMultipleChoiceField(
        queryset=Blanket.objects.none(),
        error_messages={"required": gettext_lazy("Tick at least one line first.")},
    )

    def __init__(self, *args: Any, person: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "blankets", access.rows(person, Blanket, "change"))

    def complaint(self) -> str:
        """What is wrong with the form, in one sentence."""
        first = next(iter(self.errors.values()), [_("Please send it again.")])
        return str(first[0])
