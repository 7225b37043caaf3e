"""A migration that rebuilds a table leaves every trigger standing (on SQLite a rebuild drops them silently)."""

import pytest
from django.apps import apps
from django.core.checks import run_checks
from django.core.management.sql import emit_post_migrate_signal, emit_pre_migrate_signal
from django.db import connection
from django.db.models import CharField, Model

from barnrugs.barns import triggers
from barnrugs.barns.models import JournalSubject

pytestmark = pytest.mark.django_db(transaction=True)


def tables() -> list[type[Model]]:
    named = {trigger.table for trigger in triggers.declared()}
    return [model for model in apps.get_models() if model._meta.db_table in named]


def rebuild(model: type[Model]) -> None:
    """Adds a column and takes it away again: on SQLite the table is copied, as for any change of a field."""
    field = CharField(max_length=5, default="")
    field.set_attributes_from_name("for_the_rebuild")
    field.model = model
    with connection.schema_editor() as editor:
        editor.add_field(model, field)
        if connection.vendor == "sqlite":
            editor._remake_table(model)
        else:
            editor.remove_field(model, field)


@pytest.mark.parametrize("model", tables(), ids=lambda model: model.__name__)
def test_triggers_survive_the_rebuild_of_a_table(model: type[Model]) -> None:
    emit_pre_migrate_signal(verbosity=0, interactive=False, db="default")
    rebuild(model)
    emit_post_migrate_signal(verbosity=0, interactive=False, db="default")
    assert triggers.missing(connection) == set()


def test_while_a_migration_runs_no_trigger_stands() -> None:
    emit_pre_migrate_signal(verbosity=0, interactive=False, db="default")
    try:
        assert triggers.present(connection) == {}
    finally:
        emit_post_migrate_signal(verbosity=0, interactive=False, db="default")


def test_the_check_at_start_names_what_is_missing() -> None:
    with triggers.lifted(connection):
        faults = run_checks(tags=["database"], databases=["default"])
    assert [fault.id for fault in faults] == ["barns.E002"]
    assert "barns_journalentry_no_update" in faults[0].msg
    assert run_checks(tags=["database"], databases=["default"]) == []


def test_a_rebuild_without_the_signals_would_lose_triggers_on_sqlite() -> None:
    """Why the signals are there; were this to pass without them, they could go."""
    if connection.vendor != "sqlite":
        pytest.skip("only SQLite copies tables")
    try:
        with connection.schema_editor() as editor:
            editor._remake_table(JournalSubject)
        assert triggers.missing(connection) == {
            "barnrugs_barns_journalsubject_no_update",
            "barnrugs_barns_journalsubject_no_delete",
        }
    finally:
        triggers.install(connection)
