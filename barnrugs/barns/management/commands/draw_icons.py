"""Draws the phone's icons, which are the mark of static/barnrugs/mark.svg as pictures of points."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from PIL import Image, ImageDraw

DARK, GOLD, LIGHT = "#3a4028", "#e3b23c", "#fdfbf3"
FINER = 4
"""Drawn so many times larger and made smaller, for smooth edges."""


def draw(size: int) -> Image.Image:
    """The mark on its ground to the edge: a phone may cut any shape out of it, all that matters is within 80 %."""
    unit = size * FINER / 64 * 0.78
    inset = size * FINER * 0.11
    image = Image.new("RGB", (size * FINER, size * FINER), DARK)
    pen = ImageDraw.Draw(image)

    def at(x: float, y: float) -> tuple[float, float]:
        return inset + x * unit, inset + y * unit

    def line(x1: float, y1: float, x2: float, y2: float, width: float, colour: str) -> None:
        pen.line([at(x1, y1), at(x2, y2)], fill=colour, width=round(width * unit))

    pen.rounded_rectangle([at(3.5, 14.5), at(60.5, 19.5)], radius=2.5 * unit, fill=GOLD)
    pen.polygon([at(15, 17), at(49, 17), at(49, 46), at(42, 51.4), at(32, 53), at(22, 51.4), at(15, 46)], fill=LIGHT)
    line(15, 28, 49, 28, 3, DARK)
    line(15, 38, 49, 38, 3, DARK)
    pen.rectangle([at(29, 28), at(35, 38)], fill=GOLD)
    return image.resize((size, size), Image.Resampling.LANCZOS)


class Command(BaseCommand):
    help = "Draws static/barnrugs/icon-192.png and icon-512.png from the shapes of the mark."

    def handle(self, *args: Any, **options: Any) -> None:
        for size in (192, 512):
            path = Path(settings.BASE_DIR) / "static" / "barnrugs" / f"icon-{size}.png"
            draw(size).save(path, optimize=True)
            self.stdout.write(str(path.relative_to(settings.BASE_DIR)))
