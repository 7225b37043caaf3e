from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.basis import Form
from barnrugs.barns.forms.once import OnceForm


def figures(label: Any, help_text: Any = "", autocomplete: str = "off") -> forms.CharField:
    """A PIN: the phone shows its number keys, nothing shows what is typed."""
    return forms.CharField(
        label=label,
        help_text=help_text,
        max_length=16,
        widget=forms.PasswordInput(
            attrs={"inputmode": "numeric", "autocomplete": autocomplete, "class": "form-control"}
        ),
    )


class DeviceForm(OnceForm):
    name = forms.CharField(
        label=gettext_lazy("Name of the phone"),
        max_length=80,
        help_text=gettext_lazy("As people in the barn call it: the journal says on which phone something was noted."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )


class RevokeForm(OnceForm):
    why = forms.CharField(
        label=gettext_lazy("Why"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("For example: lost in the back field."),
    )


class PhoneCodeForm(Form):
    code = forms.CharField(
        label=gettext_lazy("Code of the phone"),
        max_length=40,
        help_text=gettext_lazy("Twelve letters and figures. Dashes, spaces and small letters make no difference."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}),
    )


class PinForm(OnceForm):
    """One's own PIN for shared phones."""

    pin = figures(
        gettext_lazy("PIN"), gettext_lazy("Four to eight figures, not all alike and not in a row."), "new-password"
    )
    again = figures(gettext_lazy("The PIN again"), gettext_lazy("So that a slip of the finger does not lock you out."))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("pin") and cleaned.get("again") and cleaned["pin"] != cleaned["again"]:
            self.add_error("again", _("The two differ."))
        return cleaned


class WhoForm(Form):
    """Who is at this phone now."""

    who = forms.ChoiceField(
        label=gettext_lazy("Who are you?"),
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose your name.")},
    )
    pin = figures(gettext_lazy("Your PIN"), gettext_lazy("The figures that you chose for this phone."))

    def __init__(self, *args: Any, people: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["who"].choices = people  # type: ignore[attr-defined]
