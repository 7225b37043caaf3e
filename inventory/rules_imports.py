"""Who may do what to spreadsheets that are brought in; the journal's actions of that. Called by rules.register()."""

from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from inventory.models import ImportLine, ImportRun, ImportWord


def register() -> None:
    for model in (ImportRun, ImportLine, ImportWord):
        access.register(model, see=access.MANAGER, change=access.MANAGER, add=access.MANAGER)
    journal.register("import_confirmed", _("{who} began to bring in {file}: {count} lines."))
    journal.register("import_finished", _("{who} brought in {file}: {added} added, {changed} changed, {refused} refused."))
