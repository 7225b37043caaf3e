"""What was refused of a form, as a list of links to the fields."""

from collections.abc import Iterator
from dataclasses import dataclass

from django import forms, template
from django.forms.boundfield import BoundField

from barnrugs.barns.forms.basis import LONG

register = template.Library()


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
