"""What all our forms have in common: faults in our own words, and the first of them where the reader's hand is."""

from typing import Any, Final

from django import forms
from django.core.exceptions import ValidationError

from barnrugs.barns import sentences

LONG: Final = 4
"""Fields from which on a fault may lie out of sight of the button: such a form begins with links to its faults."""


class Basis(forms.BaseForm):
    def add_error(self, field: str | None, error: Any) -> None:
        if isinstance(error, ValidationError):
            sentences.reword(error, self.fields.get(field) if field else None)
        super().add_error(field, error)
        self._to_the_first_fault()

    @property
    def begins_with_faults(self) -> bool:
        """Whether the list of faults at the form's head takes the eye first."""
        return bool(self.non_field_errors()) or len(self.visible_fields()) >= LONG

    def _to_the_first_fault(self) -> None:
        """A short form opens at its first fault."""
        faulty = [bound.field.widget for bound in self.visible_fields() if bound.name in self.errors]
        for field in self.fields.values():
            field.widget.attrs.pop("autofocus", None)
        if faulty and not self.begins_with_faults:
            faulty[0].attrs["autofocus"] = True


class Form(Basis, forms.Form):
    pass


class ModelForm(Basis, forms.ModelForm):
    pass
