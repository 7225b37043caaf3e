"""Who may do what to blankets; the journal's actions of this app."""

from django.db.models import Q
from django.utils.translation import gettext_noop as _

from barnrugs.barns import access, journal
from barnrugs.barns.models import Person
from barnrugs.barns.models.journal import SubjectKind
from barnrugs.barns.models.person import Role
from horses.rules import held_on, of_my_horse
from inventory import rules_blankets, rules_care, rules_fit, rules_imports, rules_lists, rules_questions
from inventory.models import Blanket, Placing, Wearing


def mine(person: Person) -> Q:
    return Q(owner=person)


def about_me(person: Person) -> Q:
    """Blankets an owner sees: their own, those meant for their horse, and what their horse wears."""
    worn = Q(wearings__off_at__isnull=True) & held_on(person, "wearings__horse__")
    return mine(person) | held_on(person, "usual_horse__") | worn


def of_my_blanket(person: Person) -> Q:
    return Q(blanket__owner=person)


def register() -> None:
    own = {Role.OWNER: mine}
    theirs = {Role.OWNER: of_my_blanket}
    access.register(
        Blanket,
        see={**access.STAFF, Role.OWNER: about_me},
        change={**access.MANAGER, **own},
        add={**access.MANAGER, Role.OWNER: access.everything},
        handle={**access.STAFF, Role.OWNER: about_me},
        see_money={**access.MANAGER, **own},
        export={**access.STAFF, **own},
    )
    access.register(
        Wearing,
        see={**access.STAFF, Role.OWNER: lambda person: of_my_horse(person) | of_my_blanket(person)},
        change={**access.STAFF, Role.OWNER: of_my_horse},
    )
    access.register(Placing, see={**access.STAFF, **theirs}, change={**access.STAFF, **theirs})
    rules_blankets.register()
    rules_care.register()
    rules_fit.register()
    rules_imports.register()
    rules_lists.register()
    rules_questions.register()
    journal.register_subject(Blanket, SubjectKind.BLANKET)
    journal.register("blanket_put_on", _("{who} put {blanket} on {horse}."))
    journal.register("blanket_taken_off", _("{who} took {blanket} off {horse}."))
    journal.register("blanket_found_soaked", _("{who} found {blanket} soaked on {horse}."))
    journal.register("blanket_hung_up", _("{who} felt {blanket} dry and hung it up."))
    journal.register("change_taken_back", _("{who} took back: {what}."))
