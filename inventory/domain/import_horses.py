"""Horses from a list: which are there already, what a line changes, and how many are written at once."""

from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import Any, Final

from django.db.models import Max
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.journal import Actor, Written
from barnrugs.barns.models import Barn, Person
from horses import sizes
from horses.models import Coat, Condition, Horse, HorseOwner, Measurement, PaddockStay
from horses.queries.horse import OF_THE_BARN
from inventory.columns import horses as columns
from inventory.columns.base import Reading, plain
from inventory.domain.import_blankets import Change, lock_rows
from inventory.models import ImportRun
from inventory.queries import imports as queries

NO_FIELDS: Final = columns.NOTED | {"measured"}


class _Horses:
    def key(self, values: Mapping[str, Any]) -> str:
        return plain(str(values.get("name", "")))[:60]

    def existing(self, barn: Barn, keys: Sequence[str], *, lock: bool) -> dict[str, Any]:
        wanted = set(keys)
        here = Horse.objects.filter(barn=barn, presence__in=OF_THE_BARN).values_list("pk", "name")
        found = Horse.objects.filter(pk__in=[pk for pk, name in here if plain(name) in wanted]).order_by("-pk")
        if lock:
            lock_rows(found)
        named: dict[str, Any] = {}
        for horse in queries.with_known(barn, list(found)):
            horse.namesake = plain(horse.name) in named  # type: ignore[attr-defined]
            named[plain(horse.name)] = horse
        return named

    def complete(
        self, given: Mapping[str, Any], reading: Reading, record: Any
    ) -> tuple[dict[str, Any], dict[str, str]]:
        values, faults = columns.complete(given, reading, record)
        if record is not None and record.namesake:
            faults["name"] = _("Several horses here are called %(name)s: change them on their own pages.") % {
                "name": record.name
            }
        return values, faults

    def validate(self, barn: Barn, values: Mapping[str, Any], record: Any) -> None:
        fields = _fields(values)
        Horse(barn=barn, **fields).clean_fields(exclude={field.name for field in Horse._meta.fields} - fields.keys())

    def changes(self, record: Horse, values: Mapping[str, Any], reading: Reading) -> dict[str, list[Any]]:
        found: dict[str, list[Any]] = {}
        for name, value in _fields(values).items():
            if name != "name" and getattr(record, name) != value:
                found[name] = [getattr(record, name), value]
        now = columns.known(record)
        if "measured" in values and _other_measure(now.measurement, values):
            found["size"] = [columns.size_of(record) or "", values["measured"].given]
        for name, get in (("condition", columns.condition_of), ("clip", columns.clip_of)):
            if name in values and get(record) != values[name]:
                found[name] = [get(record), values[name]]
        if values.get("owners") and not now.owners:
            found["owners"] = ["", ", ".join(map(str, values["owners"]))]
        if values.get("paddock") and not now.paddock:
            found["paddock"] = ["", str(values["paddock"])]
        return found

    def twice(self, label: str, number: int) -> str:
        return _("Line %(line)d has a horse of this name too.") % {"line": number}

    def known_already(self, label: str) -> str:
        return _("There is a horse of this name already.")

    def add(self, run: ImportRun, all_values: Sequence[Mapping[str, Any]], actor: Actor) -> list[Horse]:
        last = Horse.objects.filter(barn=run.barn).aggregate(last=Max("walk_order"))["last"] or 0
        horses = [
            Horse(barn=run.barn, **{"walk_order": last + number, **_fields(values)})
            for number, values in enumerate(all_values, start=1)
        ]
        Horse.objects.bulk_create(horses)
        pairs = list(zip(horses, all_values, strict=True))
        granted = _note([(horse, values, NO_FIELDS) for horse, values in pairs], as_of(run))
        written = [
            Written(
                _about(horse, values, NO_FIELDS), after={**_kept(horse, values), **_noted(values, NO_FIELDS, granted)}
            )
            for horse, values in pairs
        ]
        journal.write_many(actor, "horse_added", written)
        return horses

    def change(self, run: ImportRun, changed: Sequence[Change], actor: Actor) -> None:
        """One entry each; what is noted on a day cannot be taken back with it, so that stands under another action."""
        kept: list[Written] = []
        noted: list[Written] = []
        granted = _note(changed, as_of(run))
        for horse, values, names in changed:
            fields = [name for name in names if name not in NO_FIELDS]
            before = editing.snapshot(horse, fields)
            for name in fields:
                setattr(horse, name, values[name])
            horse.save(update_fields=fields)
            what = ", ".join(_label(name) for name in names)
            after = {**editing.snapshot(horse, fields), **_noted(values, names, granted), "what": what}
            entry = Written(_about(horse, values, names), before=before, after=after)
            (kept if len(fields) == len(names) else noted).append(entry)
        journal.write_many(actor, "horse_changed", kept)
        journal.write_many(actor, "horse_list_noted", noted)


KIND: Final = _Horses()


def as_of(run: ImportRun) -> date:
    return date.fromisoformat(run.choices["as_of"])


def _fields(values: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in values.items() if name not in NO_FIELDS}


def _label(name: str) -> str:
    return next(str(column.label) for column in columns.COLUMNS if column.name == name)


def _other_measure(latest: Measurement | None, values: Mapping[str, Any]) -> bool:
    """Another line or figure than the latest, or the same taken on another day that the list names."""
    size: sizes.Size = values["measured"]
    if latest is None or (size.chest_to_tail_cm, size.back_cm) != (latest.chest_to_tail_cm, latest.back_length_cm):
        return True
    return "measured_on" in values and values["measured_on"] != latest.on


def _note(noted: Sequence[tuple[Horse, Mapping[str, Any], Collection[str]]], as_of_day: date) -> set[int]:
    """What the lines say of a day, for the columns named: measurements, clips, conditions, owners and paddocks.

    Returns the numbers of those people who had no part as an owner before.
    """
    told = [
        (horse, {name: values[name] for name in values if _is_among(name, names)}) for horse, values, names in noted
    ]
    Measurement.objects.bulk_create(
        _measurement(horse, values, as_of_day) for horse, values in told if "measured" in values
    )
    Coat.objects.bulk_create(
        Coat(barn=horse.barn, horse=horse, on=as_of_day, clip=values["clip"])
        for horse, values in told
        if "clip" in values
    )
    Condition.objects.bulk_create(
        Condition(barn=horse.barn, horse=horse, on=as_of_day, score=values["condition"])
        for horse, values in told
        if "condition" in values
    )
    PaddockStay.objects.bulk_create(
        PaddockStay(barn=horse.barn, horse=horse, paddock=values["paddock"], since=as_of_day)
        for horse, values in told
        if "paddock" in values
    )
    owned = [(horse, person) for horse, values in told for person in values.get("owners", ())]
    HorseOwner.objects.bulk_create(
        HorseOwner(barn=horse.barn, horse=horse, person=person, since=as_of_day) for horse, person in owned
    )
    granted = Person.objects.select_for_update().filter(pk__in={person.pk for _horse, person in owned}, is_owner=False)
    pks = set(granted.order_by("pk").values_list("pk", flat=True))
    Person.objects.filter(pk__in=pks).update(is_owner=True)
    return pks


def _is_among(name: str, names: Collection[str]) -> bool:
    return name in names or (name in {"measured", "measured_on"} and "size" in names)


def _measurement(horse: Horse, values: Mapping[str, Any], as_of_day: date) -> Measurement:
    size: sizes.Size = values["measured"]
    return Measurement(
        barn=horse.barn,
        horse=horse,
        on=values.get("measured_on", as_of_day),
        given=size.given,
        given_system=size.system,
        chest_to_tail_cm=size.chest_to_tail_cm,
        back_length_cm=size.back_cm,
    )


def _about(horse: Horse, values: Mapping[str, Any], names: Collection[str]) -> list[Any]:
    return [horse, *(values.get("owners", ()) if "owners" in names else ())]


def _noted(values: Mapping[str, Any], names: Collection[str], granted: Collection[int]) -> dict[str, str]:
    """What was noted besides the horse's own fields, as the journal keeps it; granted: who became an owner by it."""
    told = {name: str(values[name]) for name in ("size", "condition", "clip", "paddock") if name in values}
    if "owners" in values:
        told["owners"] = ", ".join(map(str, values["owners"]))
    kept = {name: text for name, text in told.items() if name in names}
    became = [str(person) for person in values.get("owners", ()) if person.pk in granted and "owners" in names]
    return kept | ({"became_owner": ", ".join(became)} if became else {})


def _kept(horse: Horse, values: Mapping[str, Any]) -> dict[str, Any]:
    fields = editing.snapshot(horse, list(_fields(values)))
    return {name: value for name, value in fields.items() if value not in {None, "", False}}
