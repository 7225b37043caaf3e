from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.once import OnceForm


class LastWritten(forms.TextInput):
    """Of several fields of one name, the last that says something: a place typed, or else one tapped."""

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        given = data.getlist(name) if hasattr(data, "getlist") else [data.get(name)]
        return next((value for value in reversed(given) if value and value.strip()), given[-1] if given else None)


class DryingPlace(forms.CharField):
    """Where a wet blanket hangs: one of the barn's known places, or typed."""

    widget = LastWritten

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"label": gettext_lazy("Where it hangs to dry"), "max_length": 60, **kwargs})


class WetForm(OnceForm):
    place = DryingPlace(
        help_text=gettext_lazy("For example boiler room, second rail. Not over a dry one."),
    )
    soaked = forms.BooleanField(label=gettext_lazy("Soaked through"), required=False)


class TapForm(OnceForm):
    """A form of one button."""
