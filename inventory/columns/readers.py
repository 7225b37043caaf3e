"""How a cell of each kind is read: what people write, in English or Spanish, and nothing guessed."""

import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any, Final

from django.conf import settings
from django.db.models import Model, TextChoices
from django.utils import translation
from django.utils.translation import gettext as _

from barnrugs.barns import days
from barnrugs.matching import units
from barnrugs.matching.limits import MASS_KG
from inventory import tags
from inventory.columns.base import BadCell, Question, Read, Reading, plain

YES: Final = frozenset({"yes", "y", "x", "true", "t", "1", "si", "s", "verdadero", "cierto", "v"})
NO: Final = frozenset({"no", "n", "false", "f", "0", "falso"})
TICKS: Final = frozenset({"✓", "✔", "☑", "+"})
CROSSES: Final = frozenset({"-", "–", "✗", "✘", "☐"})
NOTHING: Final = frozenset({"none", "no fill", "unfilled", "sin relleno", "ninguno", "nada", "zero"})
GRAMS: Final = re.compile(
    r"(\d{1,4})(?:[.,]0+)?\s*(?:g|gr|grs|gram|grams|gramos|gsm|g/m2|g/m²|g/m\^2)?\.?", re.IGNORECASE
)
MOST_GRAMS: Final = 800
FIGURE: Final = re.compile(r"(\d{1,3}(?:[.,' ]\d{3})+|\d+)(?:([.,])(\d{1,3}))?")
MONTHS: Final = {
    name: month
    for month, names in enumerate(
        (
            "january jan enero ene",
            "february feb febrero",
            "march mar marzo",
            "april apr abril abr",
            "may mayo",
            "june jun junio",
            "july jul julio",
            "august aug agosto ago",
            "september sep sept septiembre setiembre",
            "october oct octubre",
            "november nov noviembre",
            "december dec diciembre dic",
        ),
        start=1,
    )
    for name in names.split()
}
CURRENCY: Final = r"\s*(?:[A-Z]{3}|[A-Z]{0,2}[$€£¥₡₲₱])\s*"
LONGEST_FIGURE: Final = 12
CENT: Final = Decimal("0.01")
SERIAL: Final = range(20_000, 60_000)
"""Day numbers of spreadsheets for 1954 to 2064."""


def words(most: int) -> Read:
    def read(text: str, reading: Reading) -> str:
        if len(text) > most:
            raise BadCell(_("This has %(long)d characters; at most %(most)d fit.") % {"long": len(text), "most": most})
        return " ".join(text.splitlines())

    return read


def yes_or_no(text: str, reading: Reading) -> bool:
    word = plain(text)
    if word in YES or text in TICKS:
        return True
    if word in NO or text in CROSSES:
        return False
    raise BadCell(_("“%(cell)s” is neither yes nor no.") % {"cell": text[:30]})


def whole(low: int, high: int, unit: str = "") -> Read:
    """A whole figure, with or without its unit."""

    def read(text: str, reading: Reading) -> int:
        figure = figure_in(text, unit)
        if figure is None or figure != int(figure):
            raise BadCell(_("“%(cell)s” is no whole figure.") % {"cell": text[:30]})
        return int(within(figure, low, high))

    return read


def figure(low: float, high: float, unit: str = "") -> Read:
    def read(text: str, reading: Reading) -> float:
        found = figure_in(text, unit)
        if found is None:
            raise BadCell(_("“%(cell)s” is no figure.") % {"cell": text[:30]})
        return float(within(found, low, high))

    return read


def figure_in(text: str, unit: str = "") -> Decimal | None:
    """12 345,60 and 12,345.60 are the same; a last group of three is thousands where a group stands before it."""
    bare = re.sub(rf"\s*(?:{unit})\.?$", "", text.strip(), flags=re.IGNORECASE) if unit else text.strip()
    match = FIGURE.fullmatch(bare)
    if match is None:
        return None
    before = re.sub(r"\D", "", match[1])
    if len(before) > LONGEST_FIGURE:
        return None
    return Decimal(f"{before}.{match[3]}") if match[3] else Decimal(before)


def within(found: Decimal, low: float, high: float) -> Decimal:
    if not low <= found <= high:
        raise BadCell(
            _("%(figure)s is outside %(low)s to %(high)s.") % {"figure": found, "low": f"{low:g}", "high": f"{high:g}"}
        )
    return found


def grams(text: str, reading: Reading) -> int:
    """A fill. A word for it (light, medium, heavy) is no figure: it is asked for."""
    if plain(text) in NOTHING:
        return 0
    match = GRAMS.fullmatch(text.strip())
    if match:
        return int(within(Decimal(match[1]), 0, MOST_GRAMS))
    if re.search(r"\d", text):
        raise BadCell(_("“%(cell)s” is no fill in grams. Write it like 200 or 200 g.") % {"cell": text[:30]})
    raise Question(_("“%(cell)s” is a word: how many grams is it?") % {"cell": text[:30]})


def mass(text: str, reading: Reading) -> float:
    """Kilograms; what unit a bare figure is in stands in the choices."""
    in_pounds = reading.choices.mass_unit == "lb"
    for unit, pounds in ((r"lbs?|pounds?|libras?", True), (r"kgs?|kilos?|kilograms?|kilogramos?", False)):
        if re.search(rf"(?:{unit})\.?$", text.strip(), re.IGNORECASE):
            in_pounds, text = pounds, re.sub(rf"\s*(?:{unit})\.?$", "", text.strip(), flags=re.IGNORECASE)
    found = figure_in(text)
    if found is None:
        raise BadCell(_("“%(cell)s” is no body mass.") % {"cell": text[:30]})
    low, high = MASS_KG
    if in_pounds:
        low, high = math.ceil(units.lb_from_kg(low)), math.floor(units.lb_from_kg(high))
    if not low <= found <= high:
        unit = "lb" if in_pounds else "kg"
        raise BadCell(
            _("%(figure)s is outside %(low)s to %(high)s.")
            % {"figure": f"{found} {unit}", "low": f"{low:g}", "high": f"{high:g} {unit}"}
        )
    return round(units.kg_from_lb(float(found)), 1) if in_pounds else float(found)


def money(text: str, reading: Reading) -> Decimal:
    bare = re.sub(rf"^{CURRENCY}|{CURRENCY}$", "", text.strip())
    found = figure_in(bare)
    if found is None or found != found.quantize(CENT):
        raise BadCell(_("“%(cell)s” is no amount of money.") % {"cell": text[:30]})
    return within(found, 0, 999_999).quantize(CENT)


def year(text: str, reading: Reading) -> int:
    if not re.fullmatch(r"\d{4}", text):
        raise BadCell(_("“%(cell)s” is no year of four figures.") % {"cell": text[:30]})
    return int(within(Decimal(text), 1970, reading.choices.as_of.year))


def day(text: str, reading: Reading) -> date:
    """A day: 2026-11-25, 25.11.2026, 25 Nov 2026; 11/25/2026 where only one order makes a day."""
    for take in (_iso_day, _named_day, _figured_day):
        found = take(text.strip(), reading)
        if found:
            return _meant(found)
    if len(text) == 5 and text.isascii() and text.isdigit() and int(text) in SERIAL:
        shown = date.fromordinal(date(1899, 12, 30).toordinal() + int(text))
        raise BadCell(
            _("“%(cell)s” looks like a spreadsheet's number for %(day)s. Write the day itself.")
            % {"cell": text, "day": shown.isoformat()}
        )
    raise BadCell(_("“%(cell)s” is no day. Write it like 2026-11-25.") % {"cell": text[:30]})


def _meant(found: date) -> date:
    if not days.is_meant(found):
        raise BadCell(
            _("%(day)s is no day from %(first)d to %(last)d.")
            % {"day": found.isoformat(), "first": days.EARLIEST.year, "last": days.LATEST.year}
        )
    return found


def _iso_day(text: str, reading: Reading) -> date | None:
    match = re.fullmatch(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[ T]\d{1,2}:\d{2}(?::\d{2})?)?", text)
    return _made(match[1], match[2], match[3]) if match else None


def _named_day(text: str, reading: Reading) -> date | None:
    parts = [part for part in plain(text).split() if part not in {"de", "del", "the", "of"}]
    if len(parts) != 3:
        return None
    parts = [re.sub(r"(?<=\d)(?:st|nd|rd|th)$", "", part) for part in parts]
    if parts[0] in MONTHS:
        parts[:2] = parts[1], parts[0]
    if parts[1] not in MONTHS or not parts[0].isdigit() or not re.fullmatch(r"\d{4}", parts[2]):
        return None
    return _made(parts[2], str(MONTHS[parts[1]]), parts[0])


def _figured_day(text: str, reading: Reading) -> date | None:
    match = re.fullmatch(r"(\d{1,2})([./-])(\d{1,2})\2(\d{2}|\d{4})", text)
    if match is None:
        return None
    first, second = int(match[1]), int(match[3])
    year_text = match[4] if len(match[4]) == 4 else f"20{match[4]}"
    order = "day" if match[2] == "." or first > 12 else "month" if second > 12 else reading.choices.date_order
    if first == second:
        order = "day"
    if order == "ask":
        raise BadCell(
            _("“%(cell)s”: is the day or the month first? Choose it above, or write 2026-11-25.") % {"cell": text}
        )
    return _made(year_text, *((match[3], match[1]) if order == "day" else (match[1], match[3])))


def _made(of_year: str, month: str, of_month: str) -> date | None:
    try:
        return date(int(of_year), int(month), int(of_month))
    except ValueError:
        return None


def past_day(text: str, reading: Reading) -> date:
    found = day(text, reading)
    if found > reading.choices.as_of:
        raise BadCell(_("%(day)s has not come yet.") % {"day": found.isoformat()})
    return found


def tag(text: str, reading: Reading) -> str:
    try:
        return tags.read(text)
    except tags.BadTag as bad:
        raise BadCell(str(bad)) from bad


def one_of(enum: type[TextChoices], more: Mapping[str, str]) -> Read:
    """more: for each value, how else people write it, by commas."""

    def read(text: str, reading: Reading) -> str:
        known = meanings(enum, tuple(more.items()))
        found = known.get(plain(text)) or (text if text in enum.values else None)
        if found is None:
            raise Question(_("“%(cell)s” is no word that we know here.") % {"cell": text[:40]})
        return found

    return read


@cache
def meanings(enum: type[TextChoices], more: tuple[tuple[str, str], ...]) -> dict[str, str]:
    """Every word for a value: its own, its label in each language, and the ones people use besides."""
    known: dict[str, str] = {}
    for code, _name in settings.LANGUAGES:
        with translation.override(code):
            known |= {plain(str(label)): str(value) for value, label in enum.choices if value}
    known |= {plain(str(value)): str(value) for value in enum.values if value}
    for value, others in more:
        known |= {plain(other): value for other in others.split(",")}
    return known


def person(text: str, reading: Reading) -> Model:
    return _named(text, reading.people, _("Nobody here is called “%(cell)s”. Who is it?"))


def horse(text: str, reading: Reading) -> Model:
    return _named(text, reading.horses, _("No horse here is called “%(cell)s”. Which one is it?"))


def paddock(text: str, reading: Reading) -> Model:
    return _named(text, reading.paddocks, _("No paddock here is called “%(cell)s”. Which one is it?"))


def several(read: Callable[[str, Reading], Model]) -> Read:
    """Names with a semicolon, a comma, a stroke or an "and" between; the whole cell first, as one name."""

    def read_several(text: str, reading: Reading) -> tuple[Model, ...]:
        if plain(text) in reading.people:
            return (read(text, reading),)
        parts = [part.strip() for part in re.split(r"[;,/&]| and | y ", text) if part.strip()]
        return tuple(dict.fromkeys(_each(read, parts if len(parts) > 1 else [text], reading)))

    return read_several


def _each(read: Callable[[str, Reading], Model], parts: Iterable[str], reading: Reading) -> Iterable[Model]:
    return (read(part, reading) for part in parts)


def _named(text: str, known: Mapping[str, Sequence[Model]], unknown: str) -> Any:
    """By name; an answer to a question names the record by its number, like #12."""
    if re.fullmatch(r"#[0-9]{1,18}", text):
        number = int(text[1:])
        found = [thing for things in known.values() for thing in things if thing.pk == number]
    else:
        found = list(known.get(plain(text), ()))
    if not found:
        raise Question(unknown % {"cell": text[:40]})
    if len(found) > 1:
        raise Question(
            _("%(count)d here are called “%(cell)s”. Which one is it?") % {"count": len(found), "cell": text}
        )
    return found[0]
