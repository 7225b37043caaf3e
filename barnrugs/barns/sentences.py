"""What a form says of a fault, in our own words: the framework's sentences stand nowhere in sight.

One table by the framework's code of the fault. Sentences that a field gives itself (`error_messages`) go before it.
"""

from collections.abc import Iterator
from typing import Any, Final

from django import forms
from django.contrib.auth.validators import UnicodeUsernameValidator
from django.core import validators
from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

CHOICES: Final = (forms.ChoiceField, forms.ModelChoiceField)

SAID: Final[dict[str, Any]] = {
    "required": _("Fill this in."),
    "blank": _("Fill this in."),
    "null": _("Fill this in."),
    "invalid": _("This cannot be read: look at how it is written."),
    "invalid_choice": _("Choose one of those shown."),
    "invalid_list": _("Choose among those shown."),
    "invalid_pk_value": _("Choose among those shown."),
    "min_value": _("At least %(limit_value)s."),
    "max_value": _("At most %(limit_value)s."),
    "min_length": _("At least %(limit_value)d characters."),
    "max_length": _("At most %(limit_value)d characters; this has %(show_value)d."),
    "max_digits": _("A number of at most %(max)d figures."),
    "max_decimal_places": _("At most %(max)d figures after the point."),
    "max_whole_digits": _("A number of at most %(max)d figures before the point."),
    "missing": _("Choose a file."),
    "empty": _("This file is empty."),
    "invalid_image": _("This is no picture that can be read."),
    "null_characters_not_allowed": _("It has characters in it that cannot be kept."),
    "unique": _("This one is taken already."),
}
REQUIRED: Final = (
    (CHOICES, _("Choose one.")),
    (forms.BooleanField, _("Tick this.")),
    (forms.FileField, _("Choose a file.")),
)
INVALID: Final = (
    ((forms.FloatField, forms.DecimalField), _("Write a number.")),
    (forms.IntegerField, _("Write a whole number.")),
    (forms.DateField, _("Write a day, for example 2026-11-30.")),
    (forms.TimeField, _("Write a time, for example 17:30.")),
    (forms.EmailField, _("This is no e-mail address: it needs an @ and what stands after it.")),
    (forms.FileField, _("Choose a file.")),
)
LONGEST_SUM: Final = _("A number of at most %(before)d figures before the point and %(after)d after it.")


def _messages(kind: type) -> Iterator[Any]:
    yield from vars(kind).get("default_error_messages", {}).values()
    yield from vars(kind).get("messages", {}).values() if isinstance(vars(kind).get("messages"), dict) else ()
    if "message" in vars(kind):
        yield vars(kind)["message"]


def _of_the_framework() -> dict[int, Any]:
    kinds = [one for where in (forms, models, validators) for one in vars(where).values() if isinstance(one, type)]
    kinds += [UnicodeUsernameValidator, forms.Field, models.Field]
    return {id(message): message for kind in kinds for message in _messages(kind)}


STOCK: Final = _of_the_framework()
"""The framework's own messages by identity: equal words that we chose ourselves stay as they are."""


def reword(error: ValidationError, field: forms.Field | None = None) -> None:
    """Gives every fault in `error` that speaks in the framework's words a sentence of ours, in place."""
    if hasattr(error, "error_dict"):
        for several in error.error_dict.values():
            for one in several:
                reword(one)
        return
    for one in error.error_list:
        if id(one.message) in STOCK:
            one.message, one.params = _sentence(one, field)


def _sentence(fault: ValidationError, field: forms.Field | None) -> tuple[Any, Any]:
    code, params = fault.code or "invalid", fault.params
    if code in {"max_digits", "max_decimal_places", "max_whole_digits"} and isinstance(field, forms.DecimalField):
        whole, after = field.max_digits, field.decimal_places
        if whole is not None and after is not None:
            return LONGEST_SUM, {"before": whole - after, "after": after}
    own = {"required": REQUIRED, "invalid": INVALID}.get(code, ())
    for kinds, sentence in own:
        if isinstance(field, kinds):
            return sentence, params
    if code == "max_length" and isinstance(field, forms.FileField):
        return SAID["invalid"], params
    return SAID.get(code, SAID["invalid"]), params
