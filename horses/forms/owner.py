from datetime import date
from typing import Any, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.layout import DayField
from barnrugs.barns.forms.once import OnceForm
from barnrugs.barns.models import Barn, Person


class OwnerForm(OnceForm):
    person = forms.ModelChoiceField(
        label=gettext_lazy("Who"),
        queryset=Person.objects.none(),
        help_text=gettext_lazy("Not in the list? Add this person under People first."),
    )
    lessee = forms.BooleanField(
        label=gettext_lazy("Leases the horse"),
        required=False,
        help_text=gettext_lazy("Leave it empty for an owner. A lessee sees and changes the horse as an owner does."),
    )
    since = DayField(label=gettext_lazy("From"), help_text=gettext_lazy("The first day."))
    until = DayField(
        label=gettext_lazy("Until"),
        required=False,
        help_text=gettext_lazy("The last day, if it is known; empty otherwise."),
    )

    def __init__(self, *args: Any, barn: Barn, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = cast(forms.ModelChoiceField, self.fields["person"])
        field.queryset = Person.objects.filter(barn=barn, left_at__isnull=True)
        self.fields["since"].initial = today

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        since, until = cleaned.get("since"), cleaned.get("until")
        if since and until and until < since:
            self.add_error("until", _("It cannot end before it began."))
        return cleaned


class OwnerEndForm(OnceForm):
    until = DayField(
        label=gettext_lazy("Last day"),
        help_text=gettext_lazy("From the day after, this person no longer sees the horse."),
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["until"].initial = today
