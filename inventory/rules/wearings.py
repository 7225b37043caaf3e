"""Who may do what to what is worn and where the rest hangs; the journal's actions of these."""

from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from barnrugs.barns.models.person import Role
from horses.rules import of_my_horse
from inventory.models import Placing, Wearing
from inventory.rules.blankets import of_my_blanket


def register() -> None:
    theirs = {Role.OWNER: of_my_blanket}
    access.register(
        Wearing,
        see={**access.STAFF, Role.OWNER: lambda person: of_my_horse(person) | of_my_blanket(person)},
        change={**access.STAFF, Role.OWNER: of_my_horse},
    )
    access.register(Placing, see={**access.STAFF, **theirs}, change={**access.STAFF, **theirs})
    journal.register("blanket_put_on", _("{who} put {blanket} on {horse}."))
    journal.register("blanket_taken_off", _("{who} took {blanket} off {horse}."))
    journal.register("blanket_found_soaked", _("{who} found {blanket} soaked on {horse}."))
    journal.register("blanket_hung_up", _("{who} felt {blanket} dry and hung it up."))
    journal.register("past_wearing_noted", _("{who} noted late that {horse} wore {blanket}, until {until}."))
    journal.register("wearing_taken_back", _("{who} took back the last change on {horse}: a mis-tap."))
    journal.register("change_taken_back", _("{who} took back: {what}."))
