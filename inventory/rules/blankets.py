"""Who may do what to blankets, their pictures and saved views; the journal's actions of these."""

from django.db.models import Q
from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from barnrugs.barns.models import Person
from barnrugs.barns.models.journal import SubjectKind
from barnrugs.barns.models.person import Role
from horses.rules import held_on
from inventory.models import Blanket, Picture, SavedView
from inventory.particulars import tell_changes


def mine(person: Person) -> Q:
    return Q(owner=person)


def about_me(person: Person) -> Q:
    """Blankets an owner sees: their own, those meant for their horse, and what their horse wears."""
    worn = Q(wearings__off_at__isnull=True) & held_on(person, "wearings__horse__")
    return mine(person) | held_on(person, "usual_horse__") | worn


def of_my_blanket(person: Person) -> Q:
    return Q(blanket__owner=person)


def of_a_blanket_i_see(person: Person) -> Q:
    return Q(blanket__in=access.rows(person, Blanket))


def taken_by_me(person: Person) -> Q:
    return Q(taken_by=person) & of_a_blanket_i_see(person)


def of_my_blanket_or_taken_by_me(person: Person) -> Q:
    return of_my_blanket(person) | taken_by_me(person)


def my_own(person: Person) -> Q:
    return Q(person=person)


def register() -> None:
    own = {Role.OWNER: mine}
    access.register(
        Blanket,
        see={**access.STAFF, Role.OWNER: about_me},
        change={**access.MANAGER, **own},
        add={**access.MANAGER, Role.OWNER: access.everything},
        handle={**access.STAFF, Role.OWNER: about_me},
        see_money={**access.MANAGER, **own},
        export={**access.STAFF, **own},
    )
    journal.register_subject(Blanket, SubjectKind.BLANKET)
    access.register(
        Picture,
        see={**access.STAFF, Role.OWNER: of_a_blanket_i_see},
        change={**access.MANAGER, Role.STAFF: taken_by_me, Role.OWNER: of_my_blanket_or_taken_by_me},
    )
    everybody = dict.fromkeys(Role, my_own)
    access.register(SavedView, see=everybody, change=everybody, add=access.EVERYBODY)
    journal.register("blanket_added", _("{who} added {blanket}."), money=("price",))
    journal.register("blanket_changed", _("{who} changed {blanket}: {changes}."), money=("price",), tell=tell_changes)
    journal.register(
        "blanket_change_taken_back",
        _("{who} took back a change of {blanket}: {changes}."),
        money=("price",),
        tell=tell_changes,
    )
    journal.register("blanket_brought_back", _("{who} brought {blanket} back into use."))
    journal.register("picture_added", _("{who} took a picture of {blanket}."))
    journal.register("picture_removed", _("{who} removed a picture of {blanket}."))
    journal.register("picture_put_back", _("{who} put back a picture of {blanket}."))
    journal.register("view_saved", _("{who} saved the view “{name}”."))
    journal.register("view_removed", _("{who} removed the view “{name}”."))
