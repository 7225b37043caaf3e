from django import forms
from django.utils.translation import gettext, gettext_noop
from django.utils.translation import gettext_lazy as _

from barnrugs.barns.forms.once import OnceForm
from inventory.enums import Felt

FELT = {
    Felt.COLD: _("Cold"),
    Felt.COOL: _("Cool"),
    Felt.RIGHT: _("Right"),
    Felt.WARM: _("Warm"),
    Felt.SWEATING: _("Sweating"),
}
SHIVERS = gettext_noop("It shivers")
"""Kept in English before the note, and shown in the reader's language."""


def note_in_words(note: str) -> str:
    return note.replace(SHIVERS, gettext(SHIVERS), 1) if note.startswith(SHIVERS) else note


class HandCheckForm(OnceForm):
    """One tap says what the hand felt; the rest may stay empty."""

    felt = forms.ChoiceField(
        choices=list(FELT.items()), error_messages={"required": _("Say what your hand felt: tap one of the five.")}
    )
    shivers = forms.BooleanField(label=_("It shivers"), required=False)
    note = forms.CharField(label=_("Note"), required=False, max_length=180, help_text=_("The next shift reads it."))

    @property
    def words(self) -> str:
        said = self.cleaned_data
        return ": ".join(part for part in (SHIVERS if said["shivers"] else "", said["note"]) if part)
