from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from barnrugs.barns.forms.once import OnceForm
from inventory import images


class PictureField(forms.FileField):
    """A picture, encoded anew in two sizes before anything is written; what was sent is dropped with the request."""

    widget = forms.FileInput(attrs={"accept": "image/*", "data-shrink": str(images.LONGEST_SIDE)})

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
