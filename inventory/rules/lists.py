"""Who may do what to lists, charts and hand checks; the journal's actions of these."""

from collections.abc import Mapping
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from barnrugs.barns.models import Person
from barnrugs.barns.models.person import Role
from horses.rules import held_on, of_my_horse
from inventory.enums import Felt
from inventory.models import ChangeList, Chart, ChartRow, HandCheck, ListLine


def house_or_my_horse(person: Person) -> Q:
    """The house chart is for everybody to read; a horse's chart is its owner's."""
    return Q(horse__isnull=True) | of_my_horse(person)


def of_my_horses_chart(person: Person) -> Q:
    return Q(chart__horse__isnull=True) | held_on(person, "chart__horse__")


def _felt(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, str]:
    felt = after.get("felt")
    return {"felt": str(Felt(felt).label).lower()} if felt in Felt.values else {}


def register() -> None:
    theirs = {Role.OWNER: of_my_horse}
    access.register(ChangeList, see=access.STAFF, change=access.STAFF)
    access.register(ListLine, see={**access.STAFF, **theirs}, change=access.STAFF)
    access.register(
        Chart,
        see={**access.STAFF, Role.OWNER: house_or_my_horse},
        change={**access.MANAGER, **theirs},
        add={**access.MANAGER, Role.OWNER: access.everything},
    )
    access.register(ChartRow, see={**access.STAFF, Role.OWNER: of_my_horses_chart}, change={**access.MANAGER})
    access.register(HandCheck, see={**access.STAFF, **theirs}, add={**access.STAFF, **theirs}, change=access.STAFF)
    journal.register("chart_written", _("{who} wrote the chart of {horse}."))
    journal.register("house_chart_written", _("{who} wrote the house chart."))
    journal.register("chart_ended", _("{who} ended the chart of {horse}."))
    journal.register("house_chart_ended", _("{who} ended the house chart."))
    journal.register("chart_read_again", _("{who} read the chart of {horse} again after its clip: it holds."))
    journal.register("line_done", _("{who} changed {horse} as the list said."))
    journal.register("line_done_otherwise", _("{who} did something else for {horse} than the list said."))
    journal.register("line_not_done", _("{who} left {horse} as it was."))
    journal.register("line_taken_back", _("{who} took back what was noted for {horse} on the list."))
    journal.register("list_conditions_entered", _("{who} entered the weather for a list: {list}."))
    journal.register("list_made_anew", _("{who} had what was still open on a list advised again."))
    journal.register("list_note_written", _("{who} left a note for the next shift."))
    journal.register("hand_check_noted", _("{who} felt under what {horse} wears: {felt}."), tell=_felt)
    journal.register("hand_check_taken_back", _("{who} took back a hand check of {horse}."))
