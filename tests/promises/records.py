"""A record of any model of a barn: by its factory, or, where it has none, with the plainest values its fields allow."""

from itertools import count
from typing import Any
from uuid import UUID

from django.apps import apps
from django.db import models
from factory import SelfAttribute
from factory.django import DjangoModelFactory

from barnrugs.barns.models import Barn, BarnOwned
from tests import factories

FACTORIES: dict[type[models.Model], type[DjangoModelFactory]] = {
    made._meta.model: made
    for made in vars(factories).values()
    if isinstance(made, type) and issubclass(made, DjangoModelFactory) and not made._meta.abstract
}
numbers = count(1)


def of_a_barn() -> list[type[models.Model]]:
    return [model for model in apps.get_models() if issubclass(model, BarnOwned)]


def record(model: type[models.Model], barn: Barn | None = None) -> Any:
    """A saved record of the barn, or of a new one."""
    barn = barn or factories.BarnFactory()
    if model in FACTORIES:
        return _by_factory(model, barn)
    fields = [field for field in model._meta.concrete_fields if field.name != "barn" and _is_asked_for(field)]
    return model._default_manager.create(barn=barn, **{field.name: _plainest(field, barn) for field in fields})


def _by_factory(model: type[models.Model], barn: Barn) -> Any:
    return FACTORIES[model](**{_barn_path(FACTORIES[model]): barn})


def _barn_path(made: type[DjangoModelFactory]) -> str:
    """Where a factory takes the barn from another record, that one is told instead."""
    barn = made._meta.declarations["barn"]
    if not isinstance(barn, SelfAttribute):
        return "barn"
    through = barn.attribute_name.partition(".")[0]
    return f"{through}__{_barn_path(made._meta.declarations[through].get_factory())}"


def _is_asked_for(field: models.Field) -> bool:
    return not (field.primary_key or field.null or field.has_default() or (field.blank and field.empty_strings_allowed))


def _plainest(field: models.Field, barn: Barn) -> Any:
    number = next(numbers)
    if isinstance(field, models.ForeignKey):
        related = field.related_model
        return record(related, barn) if issubclass(related, BarnOwned) else FACTORIES[related]()
    if field.choices:
        return field.flatchoices[0][0]
    plain = [
        (models.UUIDField, UUID(int=number)),
        (models.DateTimeField, factories.SINCE),
        (models.DateField, factories.LONG_AGO),
        (models.TimeField, factories.SINCE.time()),
        (models.BooleanField, False),
        ((models.IntegerField, models.FloatField, models.DecimalField), number),
        ((models.CharField, models.TextField), str(number)),
    ]
    return next(value for kind, value in plain if isinstance(field, kind))
