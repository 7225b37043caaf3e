"""Names of records' fields in the reader's language: the models name them in English, here they are marked once."""

from collections.abc import Callable, Mapping
from typing import Any

from django.core.exceptions import FieldDoesNotExist
from django.db.models import Field, Model
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as _

MARKED = (
    # the barn, its people
    _("name"),
    _("units"),
    _("time zone"),
    _("currency"),
    _("latitude"),
    _("longitude"),
    _("how much warmer the closed barn is"),
    _("house model"),
    _("chance from which rain counts"),
    _("hours a wet blanket needs to dry"),
    _("months a waterproofing lasts"),
    _("minutes one change takes"),
    _("degree-hours one minute of changing is worth"),
    _("phone"),
    _("manager"),
    _("staff"),
    _("owner"),
    # horses and paddocks
    _("stall"),
    _("colour and markings"),
    _("birth year"),
    _("number to call"),
    _("build"),
    _("feed"),
    _("liner preference"),
    _("blanketed since autumn"),
    _("chews its own blanket"),
    _("chews others' blankets"),
    _("rolls a lot"),
    _("head-shy: nothing over the head"),
    _("thin"),
    _("old"),
    _("ill"),
    _("young"),
    _("must be covered whatever the rule"),
    _("turnout"),
    _("out from"),
    _("in again at"),
    _("body mass"),
    _("handling note"),
    _("needs two people"),
    _("veterinarian's note"),
    _("at least this many grams"),
    _("these blankets (tags)"),
    _("in the veterinarian's words"),
    _("until"),
    _("shelter"),
    _("note"),
    _("presence"),
    # rules of care
    _("logged leaks until waterproofing is due"),
    _("days until a waiting decision is overdue"),
    _("ask 'repair or replace' from this share of the price, per cent"),
    _("month in which the blanket season begins"),
)


def label_of(model: type[Model], name: str) -> str:
    return gettext(str(_field(model, name).verbose_name))


def tell_fields(model: type[Model]) -> Callable[[Mapping[str, Any], Mapping[str, Any]], dict[str, str]]:
    """For a journal's sentence with {what}: which fields an edit changed, whatever language it was written in."""

    def tell(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, str]:
        names = [name for name in after if name in before and _is_field(model, name)]
        return {"what": ", ".join(label_of(model, name) for name in names)} if names else {}

    return tell


def _field(model: type[Model], name: str) -> "Field[Any, Any]":
    field: Field[Any, Any] = model._meta.get_field(name)  # type: ignore[assignment]
    return field


def _is_field(model: type[Model], name: str) -> bool:
    try:
        model._meta.get_field(name)
    except FieldDoesNotExist:
        return False
    return True
