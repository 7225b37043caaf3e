"""What was refused of a form, as a list of links to the fields."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from django import forms, template
from django.forms.boundfield import BoundField

register = template.Library()

LONG: Final = 4
"""Fields from which on a fault may lie out of sight of the button."""


@dataclass(frozen=True)
class Faulty:
    label: str
    anchor: str
    sentences: list[str]


@register.filter
def faulty(form: forms.BaseForm) -> list[Faulty]:
    """The fields of a long form that were refused; of a short one none, for each says so itself in sight."""
    return list(_faulty(form)) if len(form.visible_fields()) >= LONG else []


def _faulty(form: forms.BaseForm) -> Iterator[Faulty]:
    for field in form.visible_fields():
        if field.errors:
            yield Faulty(str(field.label), _anchor(field), [str(sentence) for sentence in field.errors])


def _anchor(field: BoundField) -> str:
    """Of several buttons or boxes it is the first."""
    return field.id_for_label or f"{field.auto_id}_0"
