"""Who answers what was done without signal and cannot stand by itself; the journal's actions of these."""

from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from inventory.models import Question


def register() -> None:
    access.register(Question, see=access.MANAGER, change=access.MANAGER)
    journal.register("change_contradicted", _("{who} noted something for {what} that contradicts what others noted."))
    journal.register("late_change_overlaps", _("What {who} noted late for {what} overlaps with what others noted."))
    journal.register("late_change_held", _("What {who} noted for {what} was kept for the manager."))
    journal.register("late_change_accepted", _("{who} decided that it happened as {noted_by} noted: {what}."))
    journal.register("late_change_dropped", _("{who} left it as it stands, not as {noted_by} noted: {what}."))
    journal.register("line_noted_alike", _("{who} noted the same for {horse} as stood there already."))
