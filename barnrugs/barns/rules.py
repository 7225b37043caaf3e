"""Who may do what to the barn, its people and its journal; the journal's actions of this app."""

from django.db.models import Q

from barnrugs.barns import access, journal
from barnrugs.barns.models import Device, Invitation, JournalEntry, Person, SentWrite, StaffedTime
from barnrugs.barns.models.person import Role


def myself(person: Person) -> Q:
    return Q(pk=person.pk)


def register() -> None:
    access.register(
        Person, see={**access.STAFF, Role.OWNER: myself}, change=access.MANAGER, add=access.MANAGER
    )
    access.register(Device, see=access.MANAGER, change=access.MANAGER, add=access.MANAGER)
    access.register(Invitation, see=access.MANAGER, change=access.MANAGER, add=access.MANAGER)
    access.register(StaffedTime, see=access.EVERYBODY, change=access.MANAGER)
    access.register(JournalEntry, see=access.MANAGER)
    access.register(SentWrite, see={})
    journal.register("barn_made", "{who} made the barn.")
