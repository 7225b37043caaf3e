from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_lazy

from barnrugs.barns.forms.once import OnceForm

ELSEWHERE = " "
"""What the button sends that says: as typed beside it."""


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


class CameOffForm(OnceForm):
    """What becomes of what comes off. Whoever says where it hangs to dry says that it is wet."""

    wet = forms.BooleanField(label=gettext_lazy("What comes off is wet"), required=False)
    place = DryingPlace(required=False, help_text=gettext_lazy("For what comes off wet."))

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or {}
        place = values.get("place")
        if place and self._marked() == "":
            self.add_error(
                "place", gettext("“Nothing came off wet” is marked, and a place is typed. Which of the two?")
            )
        values["wet"] = bool(values.get("wet") or place)
        if (values["wet"] or self._marked() == ELSEWHERE) and not place and "place" not in self.errors:
            self.add_error("place", gettext("Say where it hangs, so that somebody finds it."))
        return values

    def _marked(self) -> str | None:
        """The button that is marked, where the places are offered as buttons beside the box to type in."""
        given = self.data.getlist(self.add_prefix("place")) if hasattr(self.data, "getlist") else []
        return given[0] if len(given) > 1 else None


class WetForm(OnceForm):
    place = DryingPlace(
        help_text=gettext_lazy("For example boiler room, second rail. Not over a dry one."),
    )
    soaked = forms.BooleanField(label=gettext_lazy("Soaked through"), required=False)


class TapForm(OnceForm):
    """A form of one button."""
