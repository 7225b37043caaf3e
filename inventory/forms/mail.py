from typing import Any

from django import forms

from barnrugs.barns.forms.once import OnceForm
from inventory.enums import Letter


class MailForm(OnceForm):
    """One tick for each kind of letter."""

    def __init__(self, *args: Any, wanted: set[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for letter in Letter:
            self.fields[letter.value] = forms.BooleanField(
                label=letter.label, required=False, initial=letter.value in wanted
            )

    def wanted(self) -> dict[Letter, bool]:
        return {letter: self.cleaned_data[letter.value] for letter in Letter}
