"""Promise 2: nothing refers across barns, for every key of every record, by insert and by update."""

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, transaction
from django.db.models import ForeignKey, Model
from factory.django import DjangoModelFactory

from barnrugs.barns import access, triggers
from barnrugs.barns.models import BarnOwned
from tests import factories


def of_a_barn() -> list[type[Model]]:
    return [model for model in apps.get_models() if issubclass(model, BarnOwned)]


def references() -> list[tuple[type[Model], str]]:
    return [
        (model, field.name)
        for model in of_a_barn()
        for field in model._meta.get_fields()
        if isinstance(field, ForeignKey) and issubclass(field.related_model, BarnOwned)
    ]


FACTORIES: dict[type[Model], type[DjangoModelFactory]] = {
    made._meta.model: made
    for made in vars(factories).values()
    if isinstance(made, type) and issubclass(made, DjangoModelFactory) and not made._meta.abstract
}
REFERENCES = pytest.mark.parametrize(
    ("model", "name"), references(), ids=[f"{model.__name__}.{name}" for model, name in references()]
)
refused = pytest.raises(IntegrityError, match=triggers.OTHER_BARN)


def foreign(model: type[Model], name: str) -> Model:
    """Something of another barn to which the field could point."""
    return FACTORIES[model._meta.get_field(name).related_model]()


def test_every_record_of_a_barn_can_be_made_here() -> None:
    assert set(of_a_barn()) - set(FACTORIES) == set()


def test_every_record_of_a_barn_has_an_access_table() -> None:
    assert set(of_a_barn()) - set(access.registered()) == set()


def test_triggers_have_names_of_their_own() -> None:
    names = [trigger.name for trigger in triggers.declared()]
    assert len(names) == len(set(names))


@REFERENCES
def test_a_new_record_cannot_refer_to_another_barn(model: type[Model], name: str, db: None) -> None:
    record, other = FACTORIES[model](), foreign(model, name)
    assert other.barn_id != record.barn_id
    record.pk = None
    setattr(record, name, other)
    with refused, transaction.atomic():
        record.save(force_insert=True)


@REFERENCES
def test_a_record_cannot_come_to_refer_to_another_barn(model: type[Model], name: str, db: None) -> None:
    record, other = FACTORIES[model](), foreign(model, name)
    rows = model._default_manager.filter(pk=record.pk)
    before = rows.values().get()
    with refused, transaction.atomic():
        rows.update(**{name: other})
    assert rows.values().get() == before


def test_every_declared_trigger_stands(db: None) -> None:
    assert triggers.missing(connection) == set()
    assert triggers.present(connection).keys() >= {
        trigger.name for trigger in triggers.declared() if trigger.sqlite and trigger.postgresql
    }
