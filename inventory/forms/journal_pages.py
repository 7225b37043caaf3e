from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.basis import Form
from barnrugs.barns.forms.layout import DayField
from barnrugs.barns.models import Barn, Person
from inventory.queries.journal_pages import SORTS_OF_ACTS, Asked


class JournalForm(Form):
    acts = forms.ChoiceField(
        label=gettext_lazy("What"),
        required=False,
        choices=[("", gettext_lazy("Everything")), *((name, label) for name, (label, _acts) in SORTS_OF_ACTS.items())],
    )
    since = DayField(label=gettext_lazy("From"), required=False, help_text=gettext_lazy("The first day shown."))
    until = DayField(label=gettext_lazy("To"), required=False, help_text=gettext_lazy("The last day shown."))
    who = forms.ChoiceField(label=gettext_lazy("By whom"), required=False)

    def __init__(self, *args: object, barn: Barn, names_people: bool) -> None:
        super().__init__(*args)  # type: ignore[arg-type]
        if not names_people:
            del self.fields["who"]
            return
        people = Person.objects.filter(barn=barn).values_list("key", "name")
        self.fields["who"].choices = [("", _("Anybody")), *((str(key), name) for key, name in people)]  # type: ignore[attr-defined]

    def asked(self) -> Asked:
        """What holds of what was asked; the rest is left out and stands as an error on the form."""
        self.is_valid()
        said = {name: value or None for name, value in self.cleaned_data.items()}
        return Asked(said.get("acts") or "", said.get("since"), said.get("until"), said.get("who"))
