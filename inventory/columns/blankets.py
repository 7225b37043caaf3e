"""The columns of a barn's blankets."""

from collections.abc import Mapping
from typing import Any, Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as lazy

from horses import sizes
from horses.enums import SizeSystem
from inventory.columns import readers, words
from inventory.columns.base import Column, Reading, plain
from inventory.columns.usual import attribute, choice, column, text, yes_or_no
from inventory.enums import Cut, Front, Kind, Lining, Neck, Surcingles, TailFlap, Waterproofing
from inventory.models import Blanket

BARN: Final = "barn"
FILLED: Final = frozenset({Kind.TURNOUT, Kind.STABLE, Kind.LINER})
"""Kinds that come with and without fill, so that an empty cell says nothing."""
FOR_RAIN: Final = frozenset({Kind.TURNOUT, Kind.RAIN_SHEET})


def size_of(blanket: Blanket) -> str | None:
    """As given; where it was not kept, the figure."""
    if blanket.size_given:
        return blanket.size_given
    figure = blanket.size_in if blanket.size_in is not None else blanket.size_back_cm
    return None if figure is None else f"{figure:g}"


def size_system_of(blanket: Blanket) -> str | None:
    if blanket.size_given:
        return blanket.size_system
    if blanket.size_in is not None:
        return SizeSystem.INCHES
    return None if blanket.size_back_cm is None else SizeSystem.CM_BACK


def _owner(text: str, reading: Reading) -> Any:
    return BARN if plain(text) in words.BARNS_OWN else readers.person(text, reading)


COLUMNS: Final = (
    column(
        "tag",
        lazy("Tag"),
        readers.tag,
        headings=("tag no", "tag number", "label", "code", "id", "etiqueta", "codigo", "numero", "no"),
        help=lazy("Five letters and figures from our own labels. Empty: a new tag is made."),
    ),
    choice(
        "kind",
        lazy("Kind"),
        Kind,
        words.KIND,
        headings=("type", "blanket type", "rug type", "style", "tipo", "clase", "blanket", "rug", "manta"),
        examples=("Turnout", "Stable blanket"),
        help=lazy("Turnout, rain sheet, sheet, stable blanket, liner, cooler, neck cover and so on."),
    ),
    Column(
        "owner",
        lazy("Owner"),
        _owner,
        lambda blanket: blanket.owner or BARN,
        headings=(
            "owned by",
            "owner name",
            "boarder",
            "client",
            "customer",
            "propietario",
            "dueno",
            "dueno a",
            "cliente",
        ),
        examples=("barn", ""),
        asked="person",
        help=lazy("A person of this barn by name; “barn” or empty for the barn's own."),
    ),
    Column(
        "usual_horse",
        lazy("Horse"),
        readers.horse,
        attribute("usual_horse"),
        headings=("usual horse", "horse name", "for horse", "worn by", "pony", "caballo", "nombre del caballo"),
        asked="horse",
        help=lazy("The horse it is meant for, by the name it has here."),
    ),
    text(
        "looks",
        lazy("Colour and marks"),
        120,
        headings=("color", "colour", "colours", "description", "looks", "pattern", "descripcion", "color y marcas"),
        examples=("navy, yellow trim", "green check"),
    ),
    Column(
        "size",
        lazy("Size"),
        readers.words(20),
        size_of,
        headings=("blanket size", "rug size", "length", "size in", "size inches", "talla", "medida", "tamano", "largo"),
        examples=("78", "6'6"),
        help=lazy("Inches, feet and inches, or centimetres, as on the label."),
    ),
    Column(
        "size_system",
        lazy("Size is in"),
        readers.one_of(SizeSystem, words.SIZE_SYSTEM),
        size_system_of,
        headings=("size system", "size unit", "units", "unit", "unidad", "sistema de tallas"),
        examples=("Inches, chest to tail", "Feet and inches, chest to tail"),
        choices=tuple(SizeSystem.choices),
        asked="choice",
        help=lazy("Which line and unit the size follows, where its own cell does not say."),
    ),
    choice("cut", lazy("Cut"), Cut, words.CUT, headings=("shape", "fit", "corte"), examples=("Standard", "")),
    Column(
        "fill_g",
        lazy("Fill, g"),
        readers.grams,
        attribute("fill_g"),
        headings=(
            "fill",
            "filling",
            "fill weight",
            "weight",
            "grams",
            "gsm",
            "g",
            "weight g",
            "warmth",
            "insulation",
            "relleno",
            "gramos",
            "gramaje",
            "peso",
        ),
        examples=("200", "300 g"),
        asked="grams",
        help=lazy("Grams per square metre, like 200 or 200 g. Words such as medium are asked for."),
    ),
    column(
        "denier",
        lazy("Denier"),
        readers.whole(50, 5000, "d|den|denier"),
        headings=("shell", "shell denier", "outer denier", "d", "denier d", "denieres"),
        examples=("1200", "600"),
    ),
    choice(
        "waterproofing",
        lazy("Waterproof"),
        Waterproofing,
        words.WATERPROOFING,
        headings=("waterproofing", "water proof", "wp", "water resistance", "impermeabilidad", "impermeable"),
        examples=("Waterproof", "Not waterproof"),
    ),
    column(
        "water_head_mm",
        lazy("Water head, mm"),
        readers.whole(0, 100_000, "mm"),
        headings=("water head", "hydrostatic head", "water column", "columna de agua"),
    ),
    yes_or_no("breathable", lazy("Breathable"), headings=("breathes", "transpirable"), examples=("yes", "yes")),
    choice("lining", lazy("Lining"), Lining, words.LINING, headings=("liner material", "lined with", "revestimiento")),
    choice(
        "front",
        lazy("Front closure"),
        Front,
        words.FRONT,
        headings=("front", "closure", "fastening", "front fastening", "cierre", "cierre delantero"),
        examples=("Buckle", "Buckle"),
    ),
    choice(
        "surcingles",
        lazy("Surcingles"),
        Surcingles,
        words.SURCINGLES,
        headings=("surcingle", "belly straps", "cinchas", "cincha"),
        examples=("Crossed", ""),
    ),
    yes_or_no("leg_straps", lazy("Leg straps"), headings=("leg strap", "correas de patas"), examples=("yes", "no")),
    choice(
        "tail_flap",
        lazy("Tail flap"),
        TailFlap,
        words.TAIL_FLAP,
        headings=("tail", "tail guard", "cubrecola", "solapa"),
    ),
    choice(
        "neck",
        lazy("Neck"),
        Neck,
        words.NECK,
        headings=("neck type", "neck cover", "cuello"),
        examples=("Detachable neck", "No neck"),
    ),
    yes_or_no("gussets", lazy("Shoulder gussets"), headings=("gussets", "gusset", "fuelles"), examples=("yes", "no")),
    yes_or_no("back_seam", lazy("Back seam"), headings=("seam", "spine seam", "costura"), examples=("no", "no")),
    yes_or_no("windproof", lazy("Windproof"), headings=("wind proof", "cortaviento")),
    column(
        "bought_on",
        lazy("Bought on"),
        readers.past_day,
        headings=(
            "bought",
            "purchased",
            "purchase date",
            "date bought",
            "date purchased",
            "comprado",
            "fecha de compra",
        ),
        examples=("2025-10-04", "2024-09-15"),
    ),
    column(
        "price",
        lazy("Price"),
        readers.money,
        headings=("cost", "paid", "purchase price", "precio", "coste", "costo"),
        examples=("120.00", "80.00"),
        money=True,
    ),
    column(
        "proofed_on",
        lazy("Last waterproofed"),
        readers.past_day,
        headings=("reproofed", "last reproofed", "proofed", "waterproofed on", "ultima impermeabilizacion"),
    ),
    text(
        "rack",
        lazy("Where it hangs"),
        60,
        headings=("rack", "hook", "location", "place", "where", "stall", "lugar", "percha", "ubicacion"),
        examples=("Aisle A, rack 3", "Tack room"),
    ),
    text(
        "storage_place",
        lazy("Where it is stored"),
        60,
        headings=("storage", "stored", "bin", "storage place", "almacen", "guardado en"),
    ),
    text(
        "note",
        lazy("Note"),
        200,
        headings=("notes", "comment", "comments", "remarks", "nota", "notas", "observaciones"),
    ),
)


def complete(
    given: Mapping[str, Any], reading: Reading, record: Blanket | None
) -> tuple[dict[str, Any], dict[str, str]]:
    """The model's values from a line's; and what is wrong in them, by column. record: the blanket that it changes."""
    values: dict[str, Any] = {name: value for name, value in given.items() if name not in {"size", "size_system"}}
    faults: dict[str, str] = {}
    if values.get("owner") == BARN:
        values["owner"] = None
    if "size" in given:
        try:
            size = sizes.read(given["size"], SizeSystem(given.get("size_system") or reading.choices.size_system))
            values |= size_values(size)
        except sizes.BadSize as bad:
            faults["size"] = str(bad)
    if record is None:
        _complete_new(values, faults, reading)
    return values, faults


def size_values(size: sizes.Size) -> dict[str, Any]:
    return {
        "size_given": size.given,
        "size_system": str(size.system),
        "size_in": size.inches,
        "size_back_cm": size.back_cm,
    }


def _complete_new(values: dict[str, Any], faults: dict[str, str], reading: Reading) -> None:
    """What a new blanket cannot go without: a guess would later dress a horse."""
    kind = values.get("kind")
    if kind is None:
        faults["kind"] = _("Which kind of blanket is it?")
        return
    if kind in FILLED and "fill_g" not in values:
        faults["fill_g"] = _("How many grams of fill does it have? Write 0 for none.")
    if kind in FOR_RAIN and "waterproofing" not in values:
        if reading.choices.turnouts == "ask":
            faults["waterproofing"] = _("Is it waterproof? Say so here, or choose above what empty cells mean.")
        else:
            values["waterproofing"] = reading.choices.turnouts
