"""Who may do what to the barn, its people and its journal; the journal's actions of this app."""

from django.db.models import Q

from barnrugs.barns import access, journal
from barnrugs.barns.models import Barn, Device, Invitation, JournalEntry, Person, SentWrite, StaffedTime
from barnrugs.barns.models.person import Role


def myself(person: Person) -> Q:
    return Q(pk=person.pk)


def register() -> None:
    access.register(Barn, change=access.MANAGER)
    access.register(Person, see={**access.STAFF, Role.OWNER: myself}, change=access.MANAGER, add=access.MANAGER)
    access.register(Device, see=access.MANAGER, change=access.MANAGER, add=access.MANAGER)
    access.register(Invitation, see=access.MANAGER, change=access.MANAGER, add=access.MANAGER)
    access.register(StaffedTime, see=access.EVERYBODY, change=access.MANAGER)
    access.register(JournalEntry, see=access.MANAGER)
    access.register(SentWrite, see={})
    journal.register("barn_made", "{who} made the barn.")
    journal.register("house_changed", "{who} changed the house rules: {what}.")
    journal.register("house_confirmed", "{who} went through the house rules and left them as they are.")
    journal.register("staffed_times_set", "{who} set the staffed times.")
    journal.register("person_added", "{who} added {person}.")
    journal.register("person_changed", "{who} changed what is known of {person}: {what}.")
    journal.register("person_left", "{who} noted that {person} left.")
    journal.register("person_returned", "{who} let {person} come back.")
    journal.register("person_invited", "{who} invited {person}.")
    journal.register("invitation_accepted", "{who} took up the invitation.")
