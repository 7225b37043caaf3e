"""Who may do what to horses and paddocks; the journal's actions of this app."""

from django.db.models import Q
from django.utils import timezone

from barnrugs.barns import access, journal
from barnrugs.barns.models import Person
from barnrugs.barns.models.journal import SubjectKind
from barnrugs.barns.models.person import Role
from horses.models import Coat, Condition, Horse, HorseOwner, Measurement, Paddock, PaddockStay


def held_on(person: Person, prefix: str = "") -> Q:
    """Horses that this person owns or leases today."""
    today = timezone.now().date()
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
    for model in (Measurement, Coat, Condition):
        access.register(model, see={**access.STAFF, **theirs}, add={**access.STAFF, **theirs})
    access.register(HorseOwner, see={**access.MANAGER, **theirs}, change=access.MANAGER)
    access.register(Paddock, see=access.EVERYBODY, change=access.MANAGER, add=access.MANAGER)
    access.register(PaddockStay, see={**access.STAFF, **theirs}, change=access.MANAGER)
    journal.register_subject(Horse, SubjectKind.HORSE)
