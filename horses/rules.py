"""Who may do what to horses and paddocks; the journal's actions of this app."""

from collections.abc import Mapping
from typing import Any

from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from barnrugs.barns.field_names import tell_fields
from barnrugs.barns.models import Person
from barnrugs.barns.models.journal import SubjectKind
from barnrugs.barns.models.person import Role
from horses.enums import Presence
from horses.models import Coat, Condition, Horse, HorseOwner, Measurement, Paddock, PaddockStay


def held_on(person: Person, prefix: str = "") -> Q:
    """Horses that this person owns or leases today."""
    today = timezone.localdate(timezone=person.barn.zone)
    current = Q(**{f"{prefix}owners__person": person, f"{prefix}owners__since__lte": today})
    return current & (Q(**{f"{prefix}owners__until__isnull": True}) | Q(**{f"{prefix}owners__until__gte": today}))


def of_my_horse(person: Person) -> Q:
    return held_on(person, "horse__")


def register() -> None:
    own = {Role.OWNER: held_on}
    access.register(
        Horse,
        see={**access.STAFF, **own},
        change={**access.MANAGER, **own},
        add=access.MANAGER,
        note={**access.STAFF, **own},
        dress={**access.STAFF, **own},
        order=access.MANAGER,
        export={**access.STAFF, **own},
    )
    theirs = {Role.OWNER: of_my_horse}
    noting = {**access.STAFF, **theirs}
    for model in (Measurement, Coat, Condition):
        access.register(model, see=noting, add=noting, withdraw=noting)
    access.register(HorseOwner, see={**access.MANAGER, **theirs}, change=access.MANAGER)
    access.register(Paddock, see=access.EVERYBODY, change=access.MANAGER, add=access.MANAGER)
    access.register(PaddockStay, see={**access.STAFF, **theirs}, change=access.MANAGER)
    journal.register_subject(Horse, SubjectKind.HORSE)
    _journal()


def _presence(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, str]:
    now = after.get("presence")
    return {"what": str(Presence(now).label)} if now in Presence.values else {}


def _journal() -> None:
    journal.register("horse_added", _("{who} added {horse}."))
    of_horse, of_paddock = tell_fields(Horse), tell_fields(Paddock)
    journal.register("horse_changed", _("{who} changed what is known of {horse}: {what}."), tell=of_horse)
    journal.register("horse_noted", _("{who} noted how to handle {horse}."))
    journal.register("vet_noted", _("{who} entered the veterinarian's note for {horse}: {what}."), tell=of_horse)
    journal.register("horse_presence_set", _("{who} noted about {horse}: {what}."), tell=_presence)
    journal.register("horse_moved_in_order", _("{who} moved {horse} to place {place} of the walking order."))
    journal.register("horse_edit_taken_back", _("{who} took back a change of {horse}: {what}."), tell=of_horse)
    journal.register("horse_measured", _("{who} measured {horse}."))
    journal.register("coat_noted", _("{who} noted the coat of {horse}."))
    journal.register("condition_noted", _("{who} scored the condition of {horse}: {score}."))
    journal.register("measurement_withdrawn", _("{who} withdrew the measurement of {horse} of {on}."))
    journal.register("coat_withdrawn", _("{who} withdrew what was noted of {horse}'s coat on {on}."))
    journal.register("condition_withdrawn", _("{who} withdrew the condition of {horse} of {on}."))
    journal.register("horse_owner_added", _("{who} noted {person} as owner of {horse} from {since}."))
    journal.register("horse_leased", _("{who} noted {person} as lessee of {horse} from {since}."))
    journal.register("horse_owner_ended", _("{who} noted that {person} holds {horse} until {until}."))
    journal.register("horse_moved", _("{who} moved {horse} to {paddock} from {since}."))
    journal.register("horse_out_of_paddock", _("{who} took {horse} out of its paddock from {since}."))
    journal.register("paddock_added", _("{who} added the paddock {paddock}."))
    journal.register("paddock_changed", _("{who} changed the paddock {paddock}: {what}."), tell=of_paddock)
