"""Who may do what to fit notes, leaves and lendings; the journal's actions of these."""

from collections.abc import Mapping
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from barnrugs.barns.models import Person
from barnrugs.barns.models.person import Role
from horses.rules import of_my_horse
from inventory.enums import Fit, RubPlace
from inventory.models import FitNote, Leave
from inventory.rules.blankets import of_my_blanket


def of_mine(person: Person) -> Q:
    return of_my_blanket(person) | of_my_horse(person)


def _fit(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, str]:
    """How it fits, in the reader's language."""
    fit, where = after.get("fit"), after.get("rubs_where")
    if fit not in Fit.values:
        return {}
    word = str(Fit(fit).label).lower()
    return {"what": f"{word}: {str(RubPlace(where).label).lower()}" if where in RubPlace.values else word}


def register() -> None:
    noting = {**access.STAFF, Role.OWNER: of_mine}
    access.register(FitNote, see=noting, change=noting)
    access.register(
        Leave,
        see={**access.STAFF, Role.OWNER: of_mine},
        change={**access.MANAGER, Role.OWNER: of_my_blanket},
    )
    journal.register("fit_noted", _("{who} noted how {blanket} fits {horse}: {what}."), tell=_fit)
    journal.register("fit_note_closed", _("{who} closed the note how {blanket} fits {horse}: {what}."), tell=_fit)
    journal.register("leave_given", _("{who} gave leave to use {blanket} for {for_whom} from {since}."))
    journal.register("leave_ended", _("{who} ended the leave to use {blanket} for {for_whom}; last day {until}."))
    journal.register("blanket_lent", _("{who} lent {blanket} to {to_whom}."))
    journal.register("blanket_brought_home", _("{who} noted that {blanket} came back from {to_whom}."))
