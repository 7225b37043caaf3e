"""Sizes as people write them: inches, feet and inches, centimetres along either line; kept as given."""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Final

from django.utils.translation import gettext as _

from barnrugs.matching import units
from horses.enums import SizeSystem

INCHES: Final = (Decimal(30), Decimal(110))
BACK_CM: Final = (Decimal(50), Decimal(200))
SURELY_CHEST_TO_TAIL_CM: Final = 170
"""No size along the back is as long as this (common practice, no source); a shorter one must say which line it is."""

FIGURE: Final = r"([0-9]{1,3}(?:[.,][0-9]{1,2})?)"
HALVES: Final = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4"}
QUOTES: Final = {"’": "'", "‘": "'", "′": "'", "`": "'", "”": '"', "“": '"', "″": '"', "''": '"'}
PATTERNS: Final = {
    "feet": re.compile(rf"([0-9]{{1,2}})\s*(?:'|ft\.?|foot|feet)\s*{FIGURE}?\s*(?:\"|in\.?|inch|inches)?"),
    "inches": re.compile(rf"{FIGURE}\s*(?:\"|in\.?|inch|inches)"),
    "cm": re.compile(rf"{FIGURE}\s*(?:cm\.?|centimet(?:er|re)s?)"),
    "bare": re.compile(FIGURE),
    "pair": re.compile(rf"([0-9]{{1,2}})[\s-]{FIGURE}"),
}


class BadSize(ValueError):
    """What was typed is no size; the message says why, in a sentence."""


@dataclass(frozen=True)
class Size:
    """A size as given, the system it was given in, and the figure on its own line: chest to tail or along the back."""

    given: str
    system: SizeSystem
    inches: Decimal | None = None
    back_cm: Decimal | None = None

    @property
    def chest_to_tail_cm(self) -> Decimal | None:
        return None if self.inches is None else _tenths(units.cm_from_inches(float(self.inches)))


def read(typed: str, system: SizeSystem = SizeSystem.INCHES) -> Size:
    """The size that was typed; a unit written beside the figure stands above the system chosen. Raises BadSize."""
    given = typed.strip()
    text = _plain(given)
    if match := PATTERNS["feet"].fullmatch(text):
        return _feet(given, match)
    if match := PATTERNS["inches"].fullmatch(text):
        return _inches(given, SizeSystem.INCHES, _figure(match[1]))
    if match := PATTERNS["cm"].fullmatch(text):
        return _centimetres(given, system, _figure(match[1]))
    if match := PATTERNS["bare"].fullmatch(text):
        return _bare(given, system, _figure(match[1]))
    match = PATTERNS["pair"].fullmatch(text)
    if match and system is SizeSystem.FEET_INCHES:
        return _feet(given, match)
    raise BadSize(_("“%(typed)s” is no size we can read. Write it like 78, 6'6 or 198 cm.") % {"typed": given[:20]})


def as_feet(inches: Decimal | float) -> str:
    """British manner: 78 inches are 6'6."""
    feet, rest = units.feet_and_inches(float(inches))
    return f"{feet}'{rest:g}"


def as_inches(inches: Decimal | float) -> str:
    return f'{float(inches):g}"'


def _plain(text: str) -> str:
    for written, plain in (QUOTES | HALVES).items():
        text = text.replace(written, plain)
    text = re.sub(r"([0-9])\s+([0-9])/([0-9])", _with_fraction, text)
    return " ".join(text.lower().split())


def _with_fraction(match: re.Match[str]) -> str:
    if match[3] == "0":
        return match[0]
    part = Fraction(int(match[2]), int(match[3]))
    return f"{match[1]}{f'{float(part):.2f}'[1:]}" if part < 1 else match[0]


def _figure(text: str) -> Decimal:
    return Decimal(text.replace(",", "."))


def _feet(given: str, match: re.Match[str]) -> Size:
    rest = _figure(match[2] or "0")
    if rest >= units.INCHES_PER_FOOT:
        raise BadSize(_("A foot has 12 inches: “%(typed)s” has more after the feet.") % {"typed": given[:20]})
    return _inches(given, SizeSystem.FEET_INCHES, Decimal(units.inches_from_feet(int(match[1]), 0)) + rest)


def _bare(given: str, system: SizeSystem, figure: Decimal) -> Size:
    if system is SizeSystem.FEET_INCHES:
        if figure == figure.to_integral_value() and INCHES[0] <= figure <= INCHES[1]:
            return _inches(given, SizeSystem.INCHES, figure)
        raise BadSize(_("Write feet and inches like 6'6, so that 6.5 and 6'5 are not taken for each other."))
    if system is SizeSystem.INCHES:
        if figure > INCHES[1]:
            raise BadSize(
                _("%(figure)s inches is longer than any blanket. If it is in centimetres, choose the line it follows.")
                % {"figure": f"{figure:g}"}
            )
        return _inches(given, system, figure)
    return _centimetres(given, system, figure)


def _centimetres(given: str, system: SizeSystem, cm: Decimal) -> Size:
    if system is SizeSystem.CM_BACK:
        return Size(given, system, back_cm=_within(cm, BACK_CM, "cm"))
    if system is not SizeSystem.CM_CHEST_TAIL and cm < SURELY_CHEST_TO_TAIL_CM:
        raise BadSize(
            _("%(figure)s cm may follow the back or go from chest to tail, which is another line: choose which.")
            % {"figure": f"{cm:g}"}
        )
    return _inches(given, SizeSystem.CM_CHEST_TAIL, _tenths(units.inches_from_cm(float(cm))))


def _inches(given: str, system: SizeSystem, inches: Decimal) -> Size:
    return Size(given, system, inches=_within(inches, INCHES, '"'))


def _within(figure: Decimal, ends: tuple[Decimal, Decimal], unit: str) -> Decimal:
    if not ends[0] <= figure <= ends[1]:
        raise BadSize(
            _("Sizes go from %(low)s to %(high)s%(unit)s; this is %(figure)s.")
            % {"low": ends[0], "high": ends[1], "unit": unit, "figure": f"{figure:g}"}
        )
    return _tenths(figure)


def _tenths(figure: Decimal | float) -> Decimal:
    return Decimal(str(figure)).quantize(Decimal("0.1"), ROUND_HALF_UP)
