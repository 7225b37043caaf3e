"""A printed label: the tag large, a QR code with the address that never changes, and what tells one from another."""

from dataclasses import dataclass
from typing import Final

import segno
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from inventory import particulars
from inventory.models import Blanket

A_SHEET: Final = 10
"""Labels on one sheet: two by five of 95 by 50 mm, which letter and A4 both hold."""


@dataclass(frozen=True)
class Label:
    tag: str
    horse: str
    kind: str
    grams: str
    size: str
    qr: SafeString


def label(blanket: Blanket, address: str) -> Label:
    return Label(
        tag=blanket.tag,
        horse=str(blanket.usual_horse or _("any horse")),
        kind=blanket.get_kind_display(),
        grams=f"{blanket.fill_g} g",
        size=particulars.short_size(blanket),
        qr=qr(address),
    )


def qr(address: str) -> SafeString:
    """ISO/IEC 18004, at least a quarter of it may be lost; black on white whatever the page's colours."""
    drawn = segno.make(address, error="q", micro=False).svg_inline(
        scale=4, border=4, dark="#000", light="#fff", omitsize=True, svgclass="qr", lineclass=None
    )
    return mark_safe(drawn)  # noqa: S308  segno draws paths only; the address is not in them


def sheets(labels: list[Label]) -> list[list[Label]]:
    return [labels[start : start + A_SHEET] for start in range(0, len(labels), A_SHEET)]
