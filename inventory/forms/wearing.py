from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from barnrugs.barns import access
from barnrugs.barns.models import Person
from horses.models import Horse
from inventory.domain.objections import objections
from inventory.forms.drying import CameOffForm, TapForm
from inventory.models import Blanket
from inventory.voices import voice_of


def object_to(form: forms.Form, field: str, horse: Horse, to: Iterable[Blanket], person: Person) -> None:
    """Asks at this field why something goes on against which the matching has a refusal in any weather."""
    found = objections(horse, to, person=person, at=timezone.now())
    if found:
        said = " ".join(reason.say(voice_of(person.barn)) for reason in found)
        form.add_error(field, gettext("%(objections)s Say why it goes on all the same.") % {"objections": said})


class WearForm(CameOffForm):
    """What a horse shall wear from now on, innermost first; no tags: nothing. What comes off is racked or dried."""

    tags = forms.CharField(
        label=_("Blankets"),
        required=False,
        max_length=40,
        help_text=_("Tags, the one next to the coat first, a space between. Empty: nothing on."),
    )
    neck = forms.BooleanField(label=_("Neck on"), required=False)
    why = forms.CharField(label=_("Why"), required=False, max_length=200, help_text=_("For the journal, if you like."))
    back = forms.CharField(widget=forms.HiddenInput, required=False, max_length=300)

    def __init__(self, data: Any, *, person: Person, horse: Horse) -> None:
        super().__init__(data)
        self.person, self.horse = person, horse

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        if not values.get("why", "").strip():
            object_to(self, "why", self.horse, values.get("tags", ()), self.person)
        return values

    def clean_tags(self) -> list[Blanket]:
        tags = self.cleaned_data["tags"].upper().split()
        found = {blanket.tag: blanket for blanket in access.rows(self.person, Blanket, "handle").filter(tag__in=tags)}
        unknown = [tag for tag in tags if tag not in found]
        if unknown:
            raise forms.ValidationError(
                _("%(tags)s is no blanket that you can put on here.") % {"tags": ", ".join(unknown)}
            )
        if len(set(tags)) < len(tags):
            raise forms.ValidationError(_("One blanket is named twice."))
        return [found[tag] for tag in tags]


class OffForm(CameOffForm):
    why = forms.CharField(label=_("Why"), required=False, max_length=200, help_text=_("For the journal, if you like."))
    back = forms.CharField(widget=forms.HiddenInput, required=False, max_length=300)


class TakeBackForm(TapForm):
    """at: the moment of the change that was shown."""

    at = forms.CharField(widget=forms.HiddenInput)

    def clean_at(self) -> datetime:
        try:
            at = datetime.fromisoformat(self.cleaned_data["at"])
        except ValueError:
            raise forms.ValidationError(_("Open this page anew and tap again.")) from None
        if at.tzinfo is None:
            raise forms.ValidationError(_("Open this page anew and tap again."))
        return at
