"""Who may do what: one table per model, which answers both "which rows" and "may this person".

Each app registers its tables in ready(). A model of a barn without a table is an error at start (checks.py).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from django.core.exceptions import PermissionDenied
from django.db.models import Model, Q, QuerySet
from django.http import Http404

from barnrugs.barns.models import Person
from barnrugs.barns.models.person import Role

Predicate = Callable[[Person], Q]
M = TypeVar("M", bound=Model)


@dataclass(frozen=True)
class Policy:
    """For each action, the roles that may and the rows on which: see is the action that decides about 404."""

    actions: Mapping[str, Mapping[Role, Predicate]]


_policies: dict[type[Model], Policy] = {}


def everything(person: Person) -> Q:
    return Q()


MANAGER = {Role.MANAGER: everything}
STAFF = {**MANAGER, Role.STAFF: everything}
EVERYBODY = {**STAFF, Role.OWNER: everything}


def register(model: type[Model], **actions: Mapping[Role, Predicate]) -> None:
    _policies[model] = Policy(actions)


def registered() -> dict[type[Model], Policy]:
    return dict(_policies)


def rows(person: Person, model: type[M], action: str = "see", among: QuerySet[M] | None = None) -> QuerySet[M]:
    """The rows of this person's barn on which they may take the action, among those of the given queryset."""
    table = _policies[model].actions[action]
    allowed = [predicate(person) for role, predicate in table.items() if role in person.roles]
    found: QuerySet[M] = model._default_manager.all() if among is None else among
    found = found.filter(barn_id=person.barn_id)
    if not allowed or person.left_at:
        return found.none()
    if any(not condition for condition in allowed):
        return found
    condition = allowed[0]
    for other in allowed[1:]:
        condition |= other
    # A subquery keeps joins of the condition from doubling rows or colliding with the caller's.
    return found.filter(pk__in=model._default_manager.filter(condition, barn_id=person.barn_id).values("pk"))


def may(person: Person, action: str, thing: Model) -> bool:
    return rows(person, type(thing), action).filter(pk=thing.pk).exists()


def may_any(person: Person, action: str, model: type[Model]) -> bool:
    """Whether any of the person's roles has the action at all: for links, and for adding."""
    return any(role in person.roles for role in _policies[model].actions[action]) and not person.left_at


def fetch(person: Person, model: type[M], pk: int, action: str = "see", among: QuerySet[M] | None = None) -> M:
    """The row, or 404 for what the person may not see, 403 for what they may see but not do this to."""
    found = rows(person, model, "see", among).filter(pk=pk).first()
    if found is None:
        raise Http404
    if action != "see" and not may(person, action, found):
        raise PermissionDenied
    return found


def demand(person: Person, action: str, model: type[Model]) -> None:
    """403 unless one of the person's roles has the action."""
    if not may_any(person, action, model):
        raise PermissionDenied
