"""Errors at start: a model without an access table, triggers that are not the declared ones."""

from typing import Any

from django.apps import apps
from django.core import checks
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.executor import MigrationExecutor

from barnrugs.barns import access, triggers


def register() -> None:
    checks.register(every_model_has_a_table)
    checks.register(triggers_are_as_declared, checks.Tags.database)


def every_model_has_a_table(app_configs: Any, **kwargs: Any) -> list[checks.CheckMessage]:
    from barnrugs.barns.models import BarnOwned

    known = access.registered()
    return [
        checks.Error(
            f"{model._meta.label} has no access table.", hint="Register it in its app's rules.py.", id="barns.E001"
        )
        for model in apps.get_models()
        if issubclass(model, BarnOwned) and model not in known
    ]


def triggers_are_as_declared(app_configs: Any, databases: Any = None, **kwargs: Any) -> list[checks.CheckMessage]:
    """Silent while migrations are pending: the triggers are put back when they are done."""
    faults: list[checks.CheckMessage] = []
    for alias in databases or []:
        connection = connections[alias]
        missing = set() if _migrations_pending(connection) else triggers.missing(connection)
        if missing:
            faults.append(
                checks.Error(
                    f"Triggers missing in {alias}: {', '.join(sorted(missing))}.",
                    hint="manage.py migrate --skip-checks puts them back; find out who dropped them.",
                    id="barns.E002",
                )
            )
    return faults


def _migrations_pending(connection: BaseDatabaseWrapper) -> bool:
    executor = MigrationExecutor(connection)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))
