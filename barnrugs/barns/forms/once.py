import uuid
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.basis import Form


class OnceForm(Form):
    """A form whose write happens once: it carries a UUID, made here when no script made one."""

    once = forms.UUIDField(
        widget=forms.HiddenInput,
        error_messages={
            "required": gettext_lazy("This form lost its number. Please send it again."),
            "invalid": gettext_lazy("This form's number is damaged. Please send it again."),
        },
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.fields["once"].initial is None:
            self.fields["once"].initial = uuid.uuid4()
