"""What a phone sends of what was done without signal: read, and refused in sentences where it makes no sense."""

import json
import uuid
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any, Final

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from barnrugs.barns.forms.basis import Form
from inventory.domain.events import EARLIEST, Event
from inventory.domain.wearing import TOP_LAYER, too_many_layers
from inventory.enums import DamagedPart, Felt
from inventory.forms.hand_checks import SHIVERS

MOST_AT_ONCE: Final = 50
MOST_CHARACTERS: Final = 4000
LATEST: Final = datetime(2100, 1, 1, tzinfo=UTC)
"""What a clock can say."""

PLAIN: Final = (str, bool, int, float, list, type(None))


class Unreadable(Exception):
    """Why what was sent cannot be read, in a sentence."""


class TagsField(forms.CharField):
    """Tags with spaces between, the one next to the coat first."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, max_length=60, **kwargs)

    def clean(self, value: Any) -> list[str]:
        tags = super().clean(" ".join(value) if isinstance(value, list) else value).upper().split()
        if len(set(tags)) < len(tags):
            raise forms.ValidationError(_("One blanket is named twice."))
        if len(tags) > TOP_LAYER:
            raise forms.ValidationError(too_many_layers())
        return tags


class FateFields(Form):
    wet = forms.BooleanField(required=False)
    place = forms.CharField(required=False, max_length=60)


class DoneFields(FateFields):
    """tags, neck: what the list showed when the phone last saw it."""

    tags = TagsField()
    neck = forms.BooleanField(required=False)


class OtherFields(DoneFields):
    """more: what of the reason is in somebody's own words."""

    why = forms.CharField(max_length=200, error_messages={"required": gettext_lazy("Say why.")})
    more = forms.CharField(max_length=100, required=False)


class WearFields(DoneFields):
    why = forms.CharField(max_length=200, required=False)


class NotDoneFields(Form):
    why = forms.CharField(max_length=200, error_messages={"required": gettext_lazy("Say why.")})


class TakeBackFields(Form):
    why = forms.CharField(max_length=200, required=False)


class HandCheckFields(Form):
    felt = forms.ChoiceField(choices=Felt.choices)
    shivers = forms.BooleanField(required=False)
    note = forms.CharField(max_length=180, required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        parts = (SHIVERS if cleaned.get("shivers") else "", cleaned.get("note"))
        return {**cleaned, "note": ": ".join(part for part in parts if part)}


class DamageFields(Form):
    """picture: the SHA-256 of the file that comes along."""

    part = forms.ChoiceField(
        choices=DamagedPart.choices, error_messages={"required": gettext_lazy("Choose what is wrong.")}
    )
    usable = forms.BooleanField(required=False)
    note = forms.CharField(max_length=300, required=False)
    picture = forms.RegexField(r"^[0-9a-f]{64}$", required=False)


KINDS: Final[dict[str, tuple[str, type[forms.Form]]]] = {
    "done": ("line", DoneFields),
    "other": ("line", OtherFields),
    "not_done": ("line", NotDoneFields),
    "take_back": ("line", TakeBackFields),
    "wear": ("horse", WearFields),
    "hand_check": ("horse", HandCheckFields),
    "damage": ("blanket", DamageFields),
}
"""For each kind of event, what it is about and the form of its fields."""


def read(body: Any) -> Event:
    """Reads one event's text. Raises Unreadable."""
    if not isinstance(body, str) or len(body) > MOST_CHARACTERS:
        raise Unreadable(_("This is not what a phone of ours sends."))
    _refuse_half_signs(body)
    try:
        told = json.loads(body)
        kind = str(told["kind"])
        subject, form = KINDS[kind]
        event = Event(
            once=uuid.UUID(told["once"]),
            seq=int(told["seq"]),
            kind=kind,
            person_key=uuid.UUID(told["person"]),
            there_at=_moment(told["there_at"]),
            about={name: _key(told[name]) for name in {subject, "horse"} if told.get(name) is not None},
            body=body,
            page_at=_moment(told["page_at"]) if told.get("page_at") is not None else None,
        )
        event.about[subject]
    except (ValueError, TypeError, KeyError, AttributeError, OverflowError, RecursionError):
        raise Unreadable(_("This is not what a phone of ours sends.")) from None
    return _with_fields(event, form(_plain(told.get("fields"))))


def _plain(fields: Any) -> dict[str, Any]:
    """The fields as sent: each a text, a figure, yes or no, or a list of texts."""
    given = fields if isinstance(fields, dict) else {}
    for value in given.values():
        texts = value if isinstance(value, list) else [value] if isinstance(value, str) else []
        if not all(isinstance(text, str) for text in texts) or not isinstance(value, PLAIN):
            raise Unreadable(_("This is not what a phone of ours sends."))
        _refuse_half_signs("".join(texts))
    return given


def _refuse_half_signs(text: str) -> None:
    """A sign of two halves, as a small picture is, can be cut at the end of a field; no database keeps a half."""
    try:
        text.encode()
    except UnicodeEncodeError:
        raise Unreadable(_("There is half a sign in the text, which cannot be kept. Note it again without.")) from None


def _with_fields(event: Event, form: forms.Form) -> Event:
    if not form.is_valid():
        sentences = [str(sentence) for sentences in form.errors.values() for sentence in sentences]
        raise Unreadable(" ".join(dict.fromkeys(sentences)))
    return replace(event, fields=form.cleaned_data, given=frozenset(form.data))


def _moment(milliseconds: Any) -> datetime:
    moment = datetime.fromtimestamp(float(milliseconds) / 1000, tz=UTC)
    return min(max(moment, EARLIEST), LATEST)


def _key(value: Any) -> int:
    key = int(value)
    if not 0 < key < 2**63:
        raise ValueError(value)
    return key
