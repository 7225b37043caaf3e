"""How figures of a horse are written: in the barn's own units, the other beside it where both are in use."""

from decimal import Decimal

from django import template

from barnrugs.barns.models import Barn
from barnrugs.barns.models.barn import Units
from barnrugs.matching import units
from horses import sizes

register = template.Library()
Figure = Decimal | float | int | None


@register.filter
def size_line(cm: Figure) -> str:
    """A chest-to-tail line in inches, with feet and inches beside it: 78" (6'6)."""
    if cm is None:
        return ""
    inches = round(units.inches_from_cm(float(cm)), 1)
    return f"{sizes.as_inches(inches)} ({sizes.as_feet(inches)})"


@register.filter
def tape(cm: Figure, barn: Barn) -> str:
    """A length off the tape."""
    if cm is None:
        return ""
    if barn.units == Units.US:
        return f"{units.inches_from_cm(float(cm)):.1f} in"
    return f"{float(cm):.1f} cm"


@register.filter
def mass(kg: Figure, barn: Barn) -> str:
    if kg is None:
        return ""
    if barn.units == Units.US:
        return f"{units.lb_from_kg(float(kg)):,.0f} lb ({float(kg):.0f} kg)"
    return f"{float(kg):.0f} kg"
