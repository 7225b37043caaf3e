"""Blankets from a list: which are there already, what a line changes, and how many are written at once."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.journal import Actor, Written
from barnrugs.barns.models import Barn
from inventory import particulars, tags
from inventory.columns import blankets as columns
from inventory.columns.base import Reading
from inventory.models import Blanket, ImportRun
from inventory.queries import imports as queries

Change = tuple[Any, Mapping[str, Any], Sequence[str]]
"""A record, its line's values, and the columns to change."""

SIZE: Final = ("size_given", "size_system", "size_in", "size_back_cm")
REFERENCES: Final = ("owner", "usual_horse")


class _Blankets:
    def key(self, values: Mapping[str, Any]) -> str:
        return str(values.get("tag", ""))

    def existing(self, barn: Barn, keys: Sequence[str], *, lock: bool) -> dict[str, Any]:
        if lock:
            lock_rows(Blanket.objects.filter(barn=barn, tag__in=keys))
        return dict(queries.blankets_by_tag(barn, keys))

    def complete(
        self, given: Mapping[str, Any], reading: Reading, record: Any
    ) -> tuple[dict[str, Any], dict[str, str]]:
        return columns.complete(given, reading, record)

    def validate(self, barn: Barn, values: Mapping[str, Any], record: Any) -> None:
        blanket = Blanket(barn=barn, **values)
        given = values.keys() - {*REFERENCES}
        blanket.clean_fields(exclude={field.name for field in Blanket._meta.fields} - given)

    def changes(self, record: Blanket, values: Mapping[str, Any], reading: Reading) -> dict[str, list[Any]]:
        """For each column the value before and after. A size not kept as given is the same where the figure is."""
        found: dict[str, list[Any]] = {}
        for name, value in values.items():
            if name not in SIZE and getattr(record, name) != value:
                found[name] = [_plain(getattr(record, name)), _plain(value)]
        if "size_in" in values and self._other_size(record, values):
            found["size"] = [columns.size_of(record) or "", values["size_given"]]
        return found

    def _other_size(self, record: Blanket, values: Mapping[str, Any]) -> bool:
        compared = SIZE if record.size_given else SIZE[2:]
        return any(getattr(record, name) != values[name] for name in compared)

    def twice(self, label: str, number: int) -> str:
        return _("Line %(line)d has the tag %(tag)s too.") % {"line": number, "tag": label}

    def known_already(self, label: str) -> str:
        return _("There is a blanket with the tag %(tag)s already.") % {"tag": label}

    def add(self, run: ImportRun, all_values: Sequence[Mapping[str, Any]], actor: Actor) -> list[Blanket]:
        made = iter(new_tags(run, sum("tag" not in values for values in all_values)))
        blankets = [
            Blanket(barn=run.barn, **{**values, "tag": values.get("tag") or next(made)}) for values in all_values
        ]
        Blanket.objects.bulk_create(blankets)
        written = [Written(_about(blanket), after=_recorded(blanket, particulars.NAMES)) for blanket in blankets]
        journal.write_many(actor, "blanket_added", written)
        return blankets

    def change(self, run: ImportRun, changed: Sequence[Change], actor: Actor) -> None:
        written = []
        for blanket, values, names in changed:
            fields = [field for name in names for field in (SIZE if name == "size" else (name,))]
            former, before = _about(blanket), _recorded(blanket, fields)
            for name in fields:
                setattr(blanket, name, values[name])
            blanket.save(update_fields=fields)
            about = list(dict.fromkeys([*former, *_about(blanket)]))
            written.append(Written(about, before=before, after=_recorded(blanket, fields)))
        journal.write_many(actor, "blanket_changed", written)


KIND: Final = _Blankets()


def lock_rows(records: "QuerySet[Any]") -> None:
    list(records.order_by("pk").select_for_update().values_list("pk", flat=True))


def new_tags(run: ImportRun, count: int) -> list[str]:
    """Free ones, that no line of this list has either."""
    made: set[str] = set()
    while len(made) < count:
        tried = {tags.new(made) for _number in range(count - len(made))}
        tried -= set(Blanket.objects.filter(barn=run.barn, tag__in=tried).values_list("tag", flat=True))
        tried -= set(queries.lines(run).filter(label__in=tried).values_list("label", flat=True))
        made |= tried
    return list(made)


def _about(blanket: Blanket) -> list[Any]:
    return [blanket, blanket.usual_horse] if blanket.usual_horse else [blanket]


def _recorded(blanket: Blanket, names: Any) -> dict[str, Any]:
    """As the journal keeps a blanket's particulars, references by name too."""
    plain = editing.snapshot(blanket, list(names))
    return plain | {f"{name}_name": str(getattr(blanket, name) or "") for name in REFERENCES if name in plain}


def _plain(value: Any) -> Any:
    """Things by number and name; the rest as JSON has it."""
    return [value.pk, str(value)] if hasattr(value, "pk") else value
