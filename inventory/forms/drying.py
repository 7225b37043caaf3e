from django import forms
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.once import OnceForm


class WetForm(OnceForm):
    place = forms.CharField(
        label=gettext_lazy("Where it hangs to dry"),
        max_length=60,
        help_text=gettext_lazy("For example boiler room, second rail. Not over a dry one."),
    )
    soaked = forms.BooleanField(label=gettext_lazy("Soaked through"), required=False)


class TapForm(OnceForm):
    """A form of one button."""
