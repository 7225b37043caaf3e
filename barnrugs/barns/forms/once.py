import uuid
from typing import Any

from django import forms


class OnceForm(forms.Form):
    """A form whose write happens once: it carries a UUID, made here when no script made one."""

    once = forms.UUIDField(
        widget=forms.HiddenInput,
        error_messages={
            "required": "This form lost its number. Please send it again.",
            "invalid": "This form's number is damaged. Please send it again.",
        },
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.fields["once"].initial is None:
            self.fields["once"].initial = uuid.uuid4()
