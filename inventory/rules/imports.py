"""Who may do what to spreadsheets that are brought in; the journal's actions of that."""

from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from inventory.models import ImportLine, ImportRun, ImportWord


def register() -> None:
    for model in (ImportRun, ImportLine, ImportWord):
        access.register(model, see=access.MANAGER, change=access.MANAGER, add=access.MANAGER)
    journal.register("import_sent", _("{who} sent the list {file}: {count} lines."))
    journal.register("import_columns_set", _("{who} said how the list {file} is to be read."))
    journal.register("import_words_told", _("{who} said what words in a list mean: {words}."))
    journal.register("import_confirmed", _("{who} began to bring in the list {file}: {count} lines."))
    journal.register(
        "import_finished", _("The list {file} was brought in: {added} added, {changed} changed, {refused} refused.")
    )
    journal.register("import_dropped", _("{who} dropped the list {file}."))
    journal.register("horse_list_noted", _("{who} changed {horse} by a list: {what}."))
