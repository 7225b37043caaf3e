"""What the tape, the eye and the clippers gave on a day: measurements, condition, coat. A wrong one is withdrawn."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, TypeVar

from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from barnrugs.barns import journal
from barnrugs.barns.domain import editing
from barnrugs.barns.domain.refusal import Refused
from barnrugs.barns.journal import Actor
from barnrugs.matching import fit, units
from horses.models import Coat, Condition, Horse, Measurement
from horses.queries import horse as queries

R = TypeVar("R", Measurement, Coat, Condition)

NOTED = {Measurement: "horse_measured", Coat: "coat_noted", Condition: "condition_noted"}
WITHDRAWN = {
    Measurement: "measurement_withdrawn",
    Coat: "coat_withdrawn",
    Condition: "condition_withdrawn",
}
NOT_SAID = {"id", "barn", "horse"}

FOALED = (5, 1)
"""The day on which a horse of whom only the birth year is known is taken to be born (A)."""

YEAR = timedelta(days=365.25)

_after_a_clip: list[Callable[[Horse, Actor], None]] = []


def after_a_clip(call: Callable[[Horse, Actor], None]) -> None:
    """Registers, at start, what else a clip changes in apps that this one does not know; in the same transaction."""
    _after_a_clip.append(call)


@dataclass(frozen=True)
class Sizing:
    """The size line of a horse today: which size to look for, and when to measure again."""

    measurement: Measurement
    inches: float | None
    look_for: int | None
    again_on: date
    due: bool


def measure(horse: Horse, *, values: Mapping[str, Any], actor: Actor) -> Measurement:
    return _note(Measurement(barn=actor.barn, horse=horse, **values), actor)


@transaction.atomic
def note_coat(horse: Horse, *, values: Mapping[str, Any], actor: Actor) -> Coat:
    """How it is clipped and, where measured, how deep the coat stands."""
    coat = _note(Coat(barn=actor.barn, horse=horse, **values), actor)
    for call in _after_a_clip if coat.clipped_now else ():
        call(horse, actor)
    return coat


def note_condition(horse: Horse, *, values: Mapping[str, Any], actor: Actor) -> Condition:
    """Body condition, 1 to 9 (Henneke et al. 1983)."""
    return _note(Condition(barn=actor.barn, horse=horse, **values), actor)


@transaction.atomic
def withdraw(record: Measurement | Coat | Condition | None, *, actor: Actor, why: str = "") -> None:
    """Takes back an entry that was wrong. What it said stays in the journal. None is one that is gone already."""
    if record is None or not type(record)._default_manager.filter(pk=record.pk).delete()[0]:
        raise Refused(_("Somebody has withdrawn this already."))
    said, horse = _said(record), record.horse
    journal.write(actor, WITHDRAWN[type(record)], about=[horse], before=said, after={"on": said["on"]}, why=why)


def sizing(horse: Horse, today: date) -> Sizing | None:
    """What the latest measurement says on a day; nothing where the horse was never measured."""
    latest = queries.sized(today).filter(horse=horse).first()
    if latest is None:
        return None
    inches = inches_of(latest)
    again_on = latest.on + timedelta(days=fit.measure_lasts_days(age_years(horse, today)))
    return Sizing(latest, inches, fit.next_size_in(inches) if inches else None, again_on, today > again_on)


def inches_of(measurement: Measurement) -> float | None:
    cm = measurement.chest_to_tail_cm
    return None if cm is None else round(units.inches_from_cm(float(cm)), 1)


def age_years(horse: Horse, today: date) -> float:
    """Years since the spring it was born in, a horse of unknown age being grown."""
    if not horse.birth_year:
        return fit.GROWN_FROM_YEARS
    return max(0.0, (today - date(horse.birth_year, *FOALED)) / YEAR)


def taped_mass_kg(measurement: Measurement) -> float | None:
    """Body mass by girth and length, where both were taped."""
    if measurement.girth_cm is None or measurement.body_length_cm is None:
        return None
    return units.mass_from_tape_kg(float(measurement.girth_cm), float(measurement.body_length_cm))


@transaction.atomic
def _note(record: R, actor: Actor) -> R:
    if record.on > queries.today_in(actor.barn):
        raise Refused(_("This day is still to come."), field="on")
    nothing = _("Give at least one: chest to tail, the back, or the girth.")
    editing.validate(record, {"measurement_measures_something": nothing})
    record.save(force_insert=True)
    journal.write(actor, NOTED[type(record)], about=[record.horse], after=_said(record))
    return record


def _said(record: Model) -> dict[str, Any]:
    names = [field.name for field in record._meta.fields if field.name not in NOT_SAID]
    return {name: value for name, value in editing.snapshot(record, names).items() if value not in (None, "")}
