from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from barnrugs.barns.forms.once import OnceForm


class SaveViewForm(OnceForm):
    """A name for what the list is narrowed to just now."""

    name = forms.CharField(
        label=_("Name of this view"),
        max_length=40,
        help_text=_("For example: Wash before spring. Only you see your views."),
        error_messages={"required": _("Give the view a name.")},
    )
    query = forms.CharField(widget=forms.HiddenInput, required=False, max_length=1000)

    def clean_query(self) -> str:
        """As an address again, so that nothing but filters is kept."""
        return QueryDict(self.cleaned_data["query"]).urlencode()
