from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns import access
from barnrugs.barns.forms.basis import Form
from barnrugs.barns.models import Person
from inventory import tags
from inventory.models import Blanket


class TagForm(Form):
    """A tag as read off a label; blanks, hyphens and small letters are forgiven."""

    tag = forms.CharField(
        label=gettext_lazy("Tag"),
        max_length=20,
        help_text=gettext_lazy("Five characters from the label. There is no 0, O, 1, I or L in any tag."),
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false", "autofocus": True}
        ),
        error_messages={"required": gettext_lazy("Type the five characters of the tag.")},
    )
    blanket: Blanket

    def __init__(self, data: Any, *, person: Person) -> None:
        super().__init__(data)
        self.person = person

    def clean_tag(self) -> str:
        typed = tags.tidy(self.cleaned_data["tag"])
        found = access.rows(self.person, Blanket).filter(tag=typed).first()
        if found is None:
            raise forms.ValidationError(_why(typed))
        self.blanket = found
        return typed


def _why(typed: str) -> str:
    try:
        tags.read(typed)
    except tags.BadTag as said:
        return str(said)
    return _("The tag is right, but no blanket that you may see here has it.")
