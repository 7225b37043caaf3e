from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from barnrugs.barns.forms.once import OnceForm
from inventory import images


class PictureInput(forms.FileInput):
    """The phone makes what is chosen here smaller before it is sent."""

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        told = {"accept": "image/*", "class": "form-control", "data-shrink": str(images.LONGEST_SIDE)}
        super().__init__(attrs=told | (attrs or {}))


class PictureField(forms.FileField):
    """A picture, encoded anew in two sizes before anything is written; what was sent is dropped with the request."""

    widget = PictureInput

    def clean(self, data: Any, initial: Any = None) -> images.Shrunk | None:
        self.validate(data)
        try:
            return images.shrink(data.file) if data else None
        except images.NotAPicture as said:
            raise forms.ValidationError(str(said)) from None


class PictureForm(OnceForm):
    picture = PictureField(
        label=_("Picture"),
        help_text=_("From the camera or the album. The phone makes it smaller; the place it was taken is not kept."),
        error_messages={"required": _("Choose a picture first.")},
    )


class PictureMayFail(OnceForm):
    """The record is saved even if its picture cannot be kept; why it cannot is said beside."""

    picture = forms.FileField(
        label=_("Picture"),
        required=False,
        allow_empty_file=True,
        widget=PictureInput,
        help_text=_("The rest is saved even if its picture fails."),
    )
    picture_fault = ""

    def clean_picture(self) -> images.Shrunk | None:
        sent = self.cleaned_data["picture"]
        try:
            return images.shrink(sent.file) if sent else None
        except images.NotAPicture as said:
            self.picture_fault = str(said)
            return None
