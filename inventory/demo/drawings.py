"""Pictures of the demo's blankets, drawn from the side, each in its colour and with its tear where it has one."""

import io

from PIL import Image, ImageDraw

from inventory import images
from inventory.images import Shrunk
from inventory.models import Blanket

SIZE = (480, 360)
GROUND = (232, 229, 221)
COLOURS = {
    "dark green": (38, 78, 54),
    "navy": (30, 42, 84),
    "wine red": (112, 26, 44),
    "charcoal": (66, 68, 72),
    "sand": (196, 170, 126),
    "sky blue": (112, 168, 208),
    "black": (34, 34, 36),
    "plum": (92, 46, 88),
    "rust": (164, 80, 38),
    "grey": (132, 134, 138),
    "bottle green": (22, 62, 48),
}
BROWN, WHITE, STRAP = (96, 62, 34), (240, 240, 236), (24, 24, 24)

BACK = ((96, 128), (136, 108), (250, 104), (366, 112), (408, 150))
HEM = ((402, 262), (300, 282), (180, 282), (92, 250))
NECK = ((96, 128), (66, 66), (26, 96), (60, 196), (92, 220))
TEAR = ((268, 150), (292, 170), (282, 186), (312, 206), (300, 228), (282, 204), (292, 190), (266, 172))


def picture_of(blanket: Blanket, *, torn: bool = False) -> Shrunk:
    """The same for the same blanket each time."""
    image = Image.new("RGB", SIZE, GROUND)
    draw = ImageDraw.Draw(image)
    colour = _colour(blanket.looks)
    draw.rectangle((0, 300, SIZE[0], SIZE[1]), fill=(206, 196, 176))
    if blanket.neck != "none":
        draw.polygon(NECK, fill=_darker(colour), outline=STRAP)
    draw.polygon(BACK + HEM, fill=colour, outline=STRAP)
    _marks(draw, blanket.looks, colour)
    for x in (200, 262):
        draw.line(((x, 278), (x - 40, 298), (x + 10, 300)), fill=STRAP, width=5)
    draw.rectangle((96, 190, 112, 206), fill=(190, 170, 90))
    if torn:
        draw.polygon(TEAR, fill=WHITE, outline=STRAP)
    out = io.BytesIO()
    image.save(out, "PNG", compress_level=1)
    return images.shrink(out)


def _colour(looks: str) -> tuple[int, int, int]:
    """That of the longest name the words begin with."""
    known = [name for name in COLOURS if looks.startswith(name)]
    return COLOURS[max(known, key=len)] if known else COLOURS["grey"]


def _darker(colour: tuple[int, int, int]) -> tuple[int, int, int]:
    red, green, blue = (part * 3 // 4 for part in colour)
    return red, green, blue


def _marks(draw: ImageDraw.ImageDraw, looks: str, colour: tuple[int, int, int]) -> None:
    if "stripe" in looks:
        draw.line(((96, 180), (404, 196)), fill=BROWN, width=14)
    if "check" in looks:
        for x in range(130, 400, 40):
            draw.line(((x, 118), (x, 270)), fill=_darker(colour), width=4)
        for y in range(140, 270, 36):
            draw.line(((98, y), (402, y)), fill=_darker(colour), width=4)
    if "patched" in looks:
        draw.rectangle((150, 170, 196, 210), fill=_darker(colour), outline=WHITE)
    if "binding" in looks:
        draw.line((*BACK, *HEM, BACK[0]), fill=WHITE, width=6)
