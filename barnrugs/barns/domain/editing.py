"""Editing a record: what two people change at once is shown to the second; an edit can be taken back."""

import copy
import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar, cast

from django.core.exceptions import ValidationError
from django.core.serializers.json import DjangoJSONEncoder
from django.db.models import Field, ForeignKey, Model
from django.utils.formats import localize
from django.utils.translation import gettext as _

from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.field_names import label_of
from barnrugs.barns.queries.people import last_writer_about
from barnrugs.barns.sentences import reword

M = TypeVar("M", bound=Model)
Values = dict[str, Any]


@dataclass(frozen=True)
class Meanwhile:
    """One field that somebody else changed while a person was writing."""

    name: str
    label: str
    was: str
    is_now: str

    def __str__(self) -> str:
        return _("%(label)s: from %(was)s to %(now)s") % {"label": self.label, "was": self.was, "now": self.is_now}


class ChangedMeanwhile(Refused):
    def __init__(self, who: str, changes: Collection[Meanwhile]) -> None:
        listed = "; ".join(str(change) for change in changes)
        super().__init__(
            _(
                "%(who)s changed this while you were writing (%(listed)s). "
                "Nothing you typed is lost: look it through and save again."
            )
            % {"who": who or _("Somebody"), "listed": listed}
        )
        self.changes = tuple(changes)


@dataclass(frozen=True)
class Edit(Generic[M]):
    """A record as it stands after an edit, and the fields that the edit changed, as they were and as they are."""

    record: M
    before: Values
    after: Values

    @property
    def what(self) -> str:
        return ", ".join(label_of(type(self.record), name) for name in self.after)

    @property
    def fields(self) -> list[str]:
        return list(self.after)


def snapshot(record: Model, names: Collection[str]) -> Values:
    """The named fields as plain values that survive a journey through JSON; a foreign key as its number."""
    values = {name: field_of(type(record), name).value_from_object(record) for name in names}
    plain: Values = json.loads(json.dumps(values, cls=DjangoJSONEncoder))
    return plain


def restored(record: M, values: Mapping[str, Any]) -> M:
    """A copy of the record with these plain values; nothing is saved."""
    past = copy.copy(record)
    past._state = copy.copy(record._state)
    past._state.fields_cache = {}
    _put(past, values)
    return past


def differing(record: M, seen: Mapping[str, Any]) -> list[Meanwhile]:
    """The fields in which the record no longer is what was seen."""
    now, past = snapshot(record, seen), restored(record, seen)
    return [
        Meanwhile(name, label_of(type(record), name), shown(past, name), shown(record, name))
        for name in seen
        if now[name] != seen[name]
    ]


def edit(record: M, *, values: Mapping[str, Any], seen: Mapping[str, Any] | None = None) -> Edit[M]:
    """Writes the values onto the record, under a lock, and only the fields that change.

    Raises ChangedMeanwhile when the record is no longer what was seen, Refused when the values do not hold.
    """
    fresh = type(record)._default_manager.select_for_update().get(pk=record.pk)
    meanwhile = differing(fresh, seen or {})
    if meanwhile:
        raise ChangedMeanwhile(last_writer_about(fresh), meanwhile)
    before = snapshot(fresh, values)
    for name, value in values.items():
        setattr(fresh, name, value)
    validate(fresh)
    after = snapshot(fresh, values)
    changed = [name for name in values if before[name] != after[name]]
    if changed:
        fresh.save(update_fields=changed)
    return Edit(fresh, {name: before[name] for name in changed}, {name: after[name] for name in changed})


def taken_back(record: M, *, before: Mapping[str, Any], after: Mapping[str, Any]) -> Edit[M]:
    """Puts a record back to what it was before an edit. Refused when it has been changed again since."""
    fresh = type(record)._default_manager.select_for_update().get(pk=record.pk)
    since = differing(fresh, after)
    if since:
        raise Refused(
            _("This cannot be taken back: it has been changed again since (%(listed)s).")
            % {"listed": "; ".join(str(change) for change in since)}
        )
    past = restored(fresh, before)
    return edit(fresh, values={name: getattr(past, name) for name in before})


def validate(record: Model, sentences: Mapping[str, str] | None = None) -> None:
    """full_clean() with its first complaint as a sentence at its field; `sentences` for constraints, by their names."""
    try:
        record.full_clean()
    except ValidationError as error:
        reword(error)
        field, complaints = next(iter(error.message_dict.items()))
        known = (sentence for name, sentence in (sentences or {}).items() if name in complaints[0])
        raise Refused(next(known, complaints[0]), field=field) from error


def field_of(model: type[Model], name: str) -> "Field[Any, Any]":
    return cast("Field[Any, Any]", model._meta.get_field(name))


def shown(record: Model, name: str) -> str:
    """A value as a person reads it."""
    field = field_of(type(record), name)
    value = getattr(record, name)
    if value is None or value == "":
        return _("nothing")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if field.choices:
        return str(getattr(record, f"get_{name}_display")())
    return str(localize(value))


def _put(record: Model, values: Mapping[str, Any]) -> None:
    for name, value in values.items():
        field = field_of(type(record), name)
        target = field.attname if isinstance(field, ForeignKey) else name
        setattr(record, target, field.to_python(value))
