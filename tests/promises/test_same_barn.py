"""Promise 2: nothing refers across barns, for every key of every record, by insert and by update."""

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.models import ForeignKey, Model

from barnrugs.barns import access, triggers
from barnrugs.barns.models import BarnOwned
from tests import factories
from tests.promises.records import of_a_barn, record


def references() -> list[tuple[type[Model], str]]:
    return [
        (model, field.name)
        for model in of_a_barn()
        for field in model._meta.get_fields()
        if isinstance(field, ForeignKey) and issubclass(field.related_model, BarnOwned)
    ]


REFERENCES = pytest.mark.parametrize(
    ("model", "name"), references(), ids=[f"{model.__name__}.{name}" for model, name in references()]
)
refused = pytest.raises(IntegrityError, match=triggers.OTHER_BARN)


def of_another_barn(model: type[Model], name: str) -> Model:
    """Something to which the field could point."""
    return record(model._meta.get_field(name).related_model)


def test_every_record_of_a_barn_has_an_access_table() -> None:
    assert set(of_a_barn()) - set(access.registered()) == set()


def test_triggers_have_names_of_their_own() -> None:
    names = [trigger.name for trigger in triggers.declared()]
    assert len(names) == len(set(names))


@REFERENCES
def test_a_new_record_cannot_refer_to_another_barn(model: type[Model], name: str, db: None) -> None:
    mine, other = record(model), of_another_barn(model, name)
    assert other.barn_id != mine.barn_id
    mine.pk = None
    setattr(mine, name, other)
    with refused, transaction.atomic():
        mine.save(force_insert=True)


@REFERENCES
def test_a_record_cannot_come_to_refer_to_another_barn(model: type[Model], name: str, db: None) -> None:
    mine, other = record(model), of_another_barn(model, name)
    rows = model._default_manager.filter(pk=mine.pk)
    before = rows.values().get()
    with refused, transaction.atomic():
        rows.update(**{name: other})
    assert rows.values().get() == before


@pytest.mark.parametrize("model", of_a_barn(), ids=lambda model: model.__name__)
def test_a_record_stays_in_its_barn(model: type[Model], db: None) -> None:
    """Else whatever refers to it would refer across barns."""
    mine, other = record(model), factories.BarnFactory()
    rows = model._default_manager.filter(pk=mine.pk)
    with (
        pytest.raises(IntegrityError, match=f"{triggers.STAYS}|{triggers.REFUSED}|{triggers.OTHER_BARN}"),
        transaction.atomic(),
    ):
        rows.update(barn=other)
    assert rows.get().barn_id == mine.barn_id


def test_every_declared_trigger_stands(db: None) -> None:
    assert triggers.missing(connection) == set()
    assert triggers.present(connection).keys() >= {
        trigger.name for trigger in triggers.declared() if trigger.sqlite and trigger.postgresql
    }
