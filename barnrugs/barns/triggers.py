"""Every trigger of the database, in one place: the journal is insert-only, and nothing refers across barns.

Django rebuilds a table on SQLite by copying it, which drops its triggers silently, and a trigger that names another
table breaks that table's next rebuild. So all are dropped before a migration and put back after it.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import ForeignKey, Model
from django.db.models.signals import post_migrate, pre_migrate

PREFIX = "barnrugs_"
REFUSED = "the journal keeps what was written"
OTHER_BARN = "belongs to another barn"
STAYS = "a record stays in its barn"


@dataclass(frozen=True)
class Trigger:
    name: str
    table: str
    sqlite: str
    postgresql: str


def declared() -> list[Trigger]:
    return [*_journal_triggers(), *_same_barn_triggers()]


def _journal_triggers() -> Iterator[Trigger]:
    for model in (apps.get_model("barns", "JournalEntry"), apps.get_model("barns", "JournalSubject")):
        table = model._meta.db_table
        for event in ("update", "delete"):
            name = f"{PREFIX}{table}_no_{event}"
            yield Trigger(
                name,
                table,
                f'CREATE TRIGGER "{name}" BEFORE {event.upper()} ON "{table}" '
                f"BEGIN SELECT RAISE(ABORT, '{REFUSED}'); END",
                f'CREATE TRIGGER "{name}" BEFORE {event.upper()} ON "{table}" '
                f"FOR EACH ROW EXECUTE FUNCTION {PREFIX}refuse()",
            )
        name = f"{PREFIX}{table}_no_truncate"
        yield Trigger(
            name,
            table,
            "",
            f'CREATE TRIGGER "{name}" BEFORE TRUNCATE ON "{table}" '
            f"FOR EACH STATEMENT EXECUTE FUNCTION {PREFIX}refuse()",
        )


def _same_barn_triggers() -> Iterator[Trigger]:
    from barnrugs.barns.models import BarnOwned

    for model in apps.get_models():
        if not issubclass(model, BarnOwned):
            continue
        yield _stays_in_its_barn(model)
        for field in _references(model):
            yield from _same_barn(model, field)


def _references(model: type[Model]) -> Iterator[ForeignKey[Any, Any]]:
    from barnrugs.barns.models import BarnOwned

    for field in model._meta.get_fields():
        if isinstance(field, ForeignKey) and issubclass(field.related_model, BarnOwned):
            yield field


def _same_barn(model: type[Model], field: "ForeignKey[Any, Any]") -> Iterator[Trigger]:
    table, column = model._meta.db_table, field.column
    other = field.related_model._meta.db_table  # type: ignore[union-attr]
    message = f"{table}.{column} {OTHER_BARN}"
    for event in ("insert", "update"):
        name = f"{PREFIX}{table}_{column}_{event}"[:63]
        foreign = (
            f'NEW."{column}" IS NOT NULL AND EXISTS '
            f'(SELECT 1 FROM "{other}" o WHERE o.id = NEW."{column}" AND o.barn_id <> NEW.barn_id)'
        )
        yield Trigger(
            name,
            table,
            f'CREATE TRIGGER "{name}" BEFORE {event.upper()} ON "{table}" WHEN {foreign} '
            f"BEGIN SELECT RAISE(ABORT, '{message}'); END",
            f'CREATE TRIGGER "{name}" BEFORE {event.upper()} ON "{table}" '
            f"FOR EACH ROW EXECUTE FUNCTION {PREFIX}same_barn('{column}', '{other}')",
        )


def _stays_in_its_barn(model: type[Model]) -> Trigger:
    """Whatever refers to a record was looked at when it was written: the record itself must not move away later."""
    table = model._meta.db_table
    name = f"{PREFIX}{table}_stays"[:63]
    moves = "NEW.barn_id <> OLD.barn_id"
    return Trigger(
        name,
        table,
        f'CREATE TRIGGER "{name}" BEFORE UPDATE OF barn_id ON "{table}" WHEN {moves} '
        f"BEGIN SELECT RAISE(ABORT, '{STAYS}'); END",
        f'CREATE TRIGGER "{name}" BEFORE UPDATE OF barn_id ON "{table}" '
        f"FOR EACH ROW WHEN ({moves}) EXECUTE FUNCTION {PREFIX}stay()",
    )


FUNCTIONS = (
    f"""CREATE OR REPLACE FUNCTION {PREFIX}refuse() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN RAISE EXCEPTION '{REFUSED}' USING ERRCODE = 'integrity_constraint_violation'; END $$""",
    f"""CREATE OR REPLACE FUNCTION {PREFIX}stay() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN RAISE EXCEPTION '{STAYS}' USING ERRCODE = 'integrity_constraint_violation'; END $$""",
    f"""CREATE OR REPLACE FUNCTION {PREFIX}same_barn() RETURNS trigger LANGUAGE plpgsql AS $$
    DECLARE
        referred bigint := (to_jsonb(NEW) ->> TG_ARGV[0])::bigint;
        barn bigint;
    BEGIN
        IF referred IS NOT NULL THEN
            EXECUTE format('SELECT barn_id FROM %I WHERE id = $1', TG_ARGV[1]) INTO barn USING referred;
            IF barn <> NEW.barn_id THEN
                RAISE EXCEPTION '%.% {OTHER_BARN}', TG_TABLE_NAME, TG_ARGV[0]
                    USING ERRCODE = 'integrity_constraint_violation';
            END IF;
        END IF;
        RETURN NEW;
    END $$""",
)


def present(connection: BaseDatabaseWrapper) -> dict[str, str]:
    """Our triggers in this database: name to table."""
    listing = {
        "sqlite": "SELECT name, tbl_name FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": (
            "SELECT t.tgname, c.relname FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid "
            "JOIN pg_namespace n ON n.oid = c.relnamespace WHERE NOT t.tgisinternal AND n.nspname = current_schema()"
        ),
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(listing)
        return {name: table for name, table in cursor.fetchall() if name.startswith(PREFIX)}


def missing(connection: BaseDatabaseWrapper) -> set[str]:
    """Triggers that should stand on this database's tables and do not."""
    tables = set(connection.introspection.table_names())
    wanted = {trigger.name for trigger in declared() if trigger.table in tables and _sql(trigger, connection)}
    return wanted - present(connection).keys()


def _sql(trigger: Trigger, connection: BaseDatabaseWrapper) -> str:
    return trigger.sqlite if connection.vendor == "sqlite" else trigger.postgresql


def drop(connection: BaseDatabaseWrapper) -> None:
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        for name, table in present(connection).items():
            if connection.vendor == "sqlite":
                cursor.execute(f'DROP TRIGGER "{name}"')
            else:
                cursor.execute(f'DROP TRIGGER "{name}" ON "{table}"')


def install(connection: BaseDatabaseWrapper) -> None:
    drop(connection)
    tables = set(connection.introspection.table_names())
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            for function in FUNCTIONS:
                cursor.execute(function)
        for trigger in declared():
            if trigger.table in tables and _sql(trigger, connection):
                cursor.execute(_sql(trigger, connection))


@contextmanager
def lifted(connection: BaseDatabaseWrapper) -> Iterator[None]:
    """Without triggers for a while: for the flush of the tests, never for a running barn."""
    drop(connection)
    try:
        yield
    finally:
        install(connection)


def _before(sender: Any, using: str, **kwargs: Any) -> None:
    if sender.label == "barns":
        drop(connections[using])


def _after(sender: Any, using: str, **kwargs: Any) -> None:
    if sender == [app for app in apps.get_app_configs() if app.models_module][-1]:
        install(connections[using])


def connect() -> None:
    """Signals of the migrations only. They come once for each app: every table is there at the last one."""
    pre_migrate.connect(_before, dispatch_uid="barnrugs.triggers.before")
    post_migrate.connect(_after, dispatch_uid="barnrugs.triggers.after")
