"""The columns of a barn's horses; what is noted on a day (size, clip, condition) besides what is kept of the horse."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any, Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as lazy

from barnrugs.barns.models import Person
from horses import sizes
from horses.enums import Build, Clip, Feed, LinerPreference, Presence, SizeSystem
from horses.models import Coat, Condition, Horse, Measurement, Paddock
from inventory.columns import readers, words
from inventory.columns.base import BadCell, Column, Reading
from inventory.columns.usual import choice, column, text, yes_or_no

NOTED: Final = frozenset({"size", "size_system", "measured_on", "clip", "condition", "owners", "paddock", "age"})
"""Columns that are no fields of the horse itself."""
GONE: Final = frozenset({Presence.SOLD, Presence.DEAD})


@dataclass
class Known:
    """What is noted of a horse at present: the latest of each, set on the horse by queries.imports."""

    measurement: Measurement | None = None
    coat: Coat | None = None
    condition: Condition | None = None
    paddock: Paddock | None = None
    owners: tuple[Person, ...] = field(default_factory=tuple)


def known(horse: Horse) -> Known:
    found: Known = getattr(horse, "known", None) or Known()
    return found


def size_of(horse: Horse) -> str | None:
    measured = known(horse).measurement
    if measured is None:
        return None
    if measured.given:
        return measured.given
    figure = measured.chest_to_tail_cm if measured.chest_to_tail_cm is not None else measured.back_length_cm
    return None if figure is None else f"{figure:g}"


def size_system_of(horse: Horse) -> str | None:
    measured = known(horse).measurement
    if measured is None:
        return None
    if measured.given and measured.given_system:
        return measured.given_system
    return SizeSystem.CM_BACK if measured.chest_to_tail_cm is None else SizeSystem.CM_CHEST_TAIL


def measured_on(horse: Horse) -> date | None:
    measured = known(horse).measurement
    return measured.on if measured else None


def condition_of(horse: Horse) -> Decimal | None:
    scored = known(horse).condition
    return scored.score if scored else None


def clip_of(horse: Horse) -> str | None:
    coat = known(horse).coat
    return coat.clip if coat else None


def _age(text: str, reading: Reading) -> int:
    return int(readers.whole(0, 60, "y|yr|yrs|years|anos?|años?")(text, reading))


def _condition(text: str, reading: Reading) -> Decimal:
    score = Decimal(str(readers.figure(1, 9)(text, reading)))
    if score * 2 != int(score * 2):
        raise BadCell(_("Condition goes from 1 to 9 in halves; this is %(score)s.") % {"score": score})
    return score.quantize(Decimal("0.1"))


def _presence(text: str, reading: Reading) -> str:
    found = str(readers.one_of(Presence, words.PRESENCE)(text, reading))
    if found in GONE:
        raise BadCell(_("Note on the horse's own page that it is gone; lists bring in those that are here."))
    return found


COLUMNS: Final = (
    text(
        "name",
        lazy("Name"),
        60,
        headings=("horse", "horse name", "pony", "barn name", "nombre", "caballo", "nombre del caballo"),
        examples=("Example Clover", "Example Juniper"),
        help=lazy("By the name a horse is known here: a list that names it again changes it."),
    ),
    text(
        "stall",
        lazy("Stall"),
        20,
        headings=("box", "stall no", "stall number", "establo", "cuadra"),
        examples=("12", "3B"),
    ),
    column(
        "walk_order",
        lazy("Place in the walking order"),
        readers.whole(0, 9999),
        headings=("order", "walking order", "walk order", "orden"),
        help=lazy("Empty: after the last horse."),
    ),
    Column(
        "owners",
        lazy("Owners"),
        readers.several(readers.person),
        lambda horse: known(horse).owners or None,
        headings=(
            "owner",
            "owned by",
            "owner name",
            "boarder",
            "client",
            "propietario",
            "propietarios",
            "dueno",
            "dueno a",
        ),
        asked="person",
        help=lazy("People of this barn by name; a semicolon between two."),
    ),
    Column(
        "paddock",
        lazy("Paddock"),
        readers.paddock,
        lambda horse: known(horse).paddock,
        headings=("field", "pasture", "turnout field", "potrero", "prado", "pasto"),
        asked="paddock",
    ),
    column(
        "birth_year",
        lazy("Born"),
        readers.year,
        headings=("birth year", "year of birth", "foaled", "yob", "nacido", "ano de nacimiento", "nacimiento"),
        examples=("2014", "2006"),
    ),
    Column(
        "age",
        lazy("Age"),
        _age,
        lambda _horse: None,
        headings=("age years", "years", "edad"),
        help=lazy("Only where the year of birth is not given: the year is worked out from it."),
    ),
    text(
        "looks",
        lazy("Colour and markings"),
        120,
        headings=("color", "colour", "markings", "description", "capa", "pelaje"),
        examples=("bay, star", "grey"),
    ),
    Column(
        "mass_kg",
        lazy("Body mass"),
        readers.mass,
        lambda horse: horse.mass_kg,
        headings=(
            "mass",
            "weight",
            "body weight",
            "weight kg",
            "weight lb",
            "weight lbs",
            "mass kg",
            "kg",
            "lb",
            "peso",
        ),
        examples=("500 kg", "450 kg"),
        unit="kg",
    ),
    choice(
        "build",
        lazy("Build"),
        Build,
        words.BUILD,
        headings=("type", "body type", "complexion"),
        examples=("Average", "Fine"),
    ),
    choice("feed", lazy("Feed"), Feed, words.FEED, headings=("hay", "forage", "alimentacion", "heno")),
    Column(
        "size",
        lazy("Size"),
        readers.words(20),
        size_of,
        headings=("blanket size", "rug size", "measurement", "chest to tail", "talla", "medida"),
        examples=("78", "6'3"),
        help=lazy("Inches, feet and inches, or centimetres."),
    ),
    Column(
        "size_system",
        lazy("Size is in"),
        readers.one_of(SizeSystem, words.SIZE_SYSTEM),
        size_system_of,
        headings=("size system", "size unit", "units", "unit", "unidad", "sistema de tallas"),
        examples=("Inches, chest to tail", "Feet and inches, chest to tail"),
        choices=tuple((str(value), label) for value, label in SizeSystem.choices),
        asked="choice",
    ),
    Column(
        "measured_on",
        lazy("Measured on"),
        readers.past_day,
        measured_on,
        headings=("measured", "date measured", "medido el", "fecha de medida"),
        help=lazy("Empty: the day chosen for the whole list."),
    ),
    Column(
        "condition",
        lazy("Condition, 1 to 9"),
        _condition,
        condition_of,
        headings=("condition", "body condition", "bcs", "condition score", "condicion", "condicion corporal"),
        examples=("5", "4.5"),
    ),
    Column(
        "clip",
        lazy("Clip"),
        readers.one_of(Clip, words.CLIP),
        clip_of,
        headings=("clipped", "clip type", "esquilado", "esquila"),
        examples=("Not clipped", "Trace clip"),
        choices=tuple((str(value), label) for value, label in Clip.choices),
        asked="choice",
    ),
    choice(
        "liner_preference",
        lazy("Liner it likes"),
        LinerPreference,
        words.LINING,
        headings=("liner", "liner preference", "forro"),
    ),
    yes_or_no("blanketed_since_autumn", lazy("Blanketed since autumn"), headings=("blanketed since fall",)),
    yes_or_no("chews_own", lazy("Chews its own blanket"), headings=("chews", "chewer", "muerde su manta")),
    yes_or_no("chews_others", lazy("Chews others' blankets"), headings=("chews others", "muerde mantas ajenas")),
    yes_or_no("rolls", lazy("Rolls a lot"), headings=("rolls", "se revuelca")),
    yes_or_no("head_shy", lazy("Head-shy"), headings=("headshy", "sensible de cabeza"), examples=("no", "yes")),
    yes_or_no("thin", lazy("Thin"), headings=("hard keeper", "flaco")),
    yes_or_no("old", lazy("Old"), headings=("senior", "viejo", "mayor"), examples=("no", "yes")),
    yes_or_no("ill", lazy("Ill"), headings=("sick", "enfermo")),
    yes_or_no("young", lazy("Young"), headings=("joven",)),
    yes_or_no("two_people", lazy("Needs two people"), headings=("two people", "two handlers", "dos personas")),
    yes_or_no(
        "must_be_covered", lazy("Must be covered whatever the rule"), headings=("must be covered", "always blanket")
    ),
    text("handling_note", lazy("Handling note"), 300, headings=("handling", "notes", "note", "manejo", "notas")),
    text("call_number", lazy("Number to call"), 40, headings=("phone", "call", "emergency number", "telefono")),
    choice(
        "presence",
        lazy("Presence"),
        Presence,
        words.PRESENCE,
        read=_presence,
        headings=("status", "here", "estado"),
        examples=("Here", "Here"),
    ),
)


def complete(given: Mapping[str, Any], reading: Reading, record: Horse | None) -> tuple[dict[str, Any], dict[str, str]]:
    """The horse's values from a line's, what is noted of it among them; and what is wrong in them, by column."""
    values, faults = dict(given), {}
    if "age" in values:
        values.setdefault("birth_year", reading.choices.as_of.year - values.pop("age"))
        values.pop("age", None)
    if "size" in given:
        system = SizeSystem(given.get("size_system") or reading.choices.size_system)
        try:
            size = sizes.read(given["size"], system)
            values["size_system"] = str(size.system)
            values["measured"] = size
        except sizes.BadSize as bad:
            faults["size"] = str(bad)
    else:
        values.pop("size_system", None)
        values.pop("measured_on", None)
    if record is not None:
        _refuse_moves(values, faults, record)
    elif "name" not in values:
        faults["name"] = _("What is the horse called?")
    return values, faults


def _refuse_moves(values: dict[str, Any], faults: dict[str, str], horse: Horse) -> None:
    """Who owned it and where it stood until now would be lost in a list: that is changed on the horse's own page."""
    now = known(horse)
    if values.get("owners") and now.owners and set(values["owners"]) != set(now.owners):
        faults["owners"] = _("%(horse)s belongs to %(owners)s. Change that on the horse's own page.") % {
            "horse": horse,
            "owners": ", ".join(map(str, now.owners)),
        }
    if values.get("paddock") and now.paddock and values["paddock"] != now.paddock:
        faults["paddock"] = _("%(horse)s stands in %(paddock)s. Move it on its own page.") % {
            "horse": horse,
            "paddock": now.paddock,
        }
