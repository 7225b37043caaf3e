"""Who may do what to the barn, its people and its journal; the journal's actions of this app."""

from django.db.models import Q
from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from barnrugs.barns.field_names import tell_fields
from barnrugs.barns.models import Barn, Device, Invitation, JournalEntry, Person, SentWrite, StaffedTime
from barnrugs.barns.models.person import Role


def myself(person: Person) -> Q:
    return Q(pk=person.pk)


def register() -> None:
    access.register(Barn, change=access.MANAGER)
    access.register(
        Person,
        see={**access.STAFF, Role.OWNER: myself},
        change=access.MANAGER,
        add=access.MANAGER,
        use_pin=access.STAFF,
    )
    access.register(Device, see=access.MANAGER, change=access.MANAGER, add=access.MANAGER)
    access.register(Invitation, see=access.MANAGER, change=access.MANAGER, add=access.MANAGER)
    access.register(StaffedTime, see=access.EVERYBODY, change=access.MANAGER)
    access.register(JournalEntry, see=access.MANAGER)
    access.register(SentWrite, see={})
    journal.register("barn_made", _("{who} made the barn."))
    journal.register("house_changed", _("{who} changed the house rules: {what}."), tell=tell_fields(Barn))
    journal.register(
        "house_change_taken_back",
        _("{who} took back a change of the house rules: {what}."),
        tell=tell_fields(Barn),
    )
    journal.register("house_confirmed", _("{who} went through the house rules and left them as they are."))
    journal.register("staffed_times_set", _("{who} set the staffed times."))
    journal.register("person_added", _("{who} added {person}."))
    journal.register("person_changed", _("{who} changed what is known of {person}: {what}."), tell=tell_fields(Person))
    journal.register("person_left", _("{who} noted that {person} left."))
    journal.register("person_returned", _("{who} let {person} come back."))
    journal.register("person_invited", _("{who} invited {person}."))
    journal.register("invitation_accepted", _("{who} took up the invitation."))
    journal.register("device_enrolled", _("{who} enrolled the phone {name}."))
    journal.register("device_came_in", _("The phone {name}, enrolled by {who}, took up its code."))
    journal.register("device_renamed", _("{who} named the phone {name}, before {before_name}."))
    journal.register("device_revoked", _("{who} revoked the phone {name}."))
    journal.register("pin_set", _("{who} set a PIN for shared phones."))
