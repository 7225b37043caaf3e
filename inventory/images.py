"""Pictures from strangers' hands: read what is a picture, refuse what is not, and keep only what we encoded ourselves.

Nothing that was sent is stored. Size and dimensions are read before any pixel is, one picture is decoded at a time, and
the result carries no metadata, so neither the place it was taken nor anything hidden behind it.
"""

import io
import struct
import threading
import warnings
import zlib
from dataclasses import dataclass
from hashlib import sha256
from typing import IO, Final

from django.utils.translation import gettext as _
from PIL import Image, ImageOps, UnidentifiedImageError

MOST_BYTES: Final = 25 * 1024 * 1024
MOST_PIXELS: Final = 60_000_000
MOST_PIXELS_OF_WEBP: Final = 16_000_000
"""Its decoder takes 15 bytes a point (measured), four times those of the others."""

MOST_SCANS: Final = 100
LEAST_SIDE: Final = 64
LONGEST_SIDE: Final = 1600
SMALL_SIDE: Final = 320
FORMATS: Final = ("JPEG", "PNG", "WEBP")
QUALITY: Final = 82

START_OF_SCAN: Final = b"\xff\xda"
CHUNK: Final = 1024 * 1024
FAULTS: Final = (
    OSError,
    ValueError,
    TypeError,
    LookupError,
    SyntaxError,
    ArithmeticError,
    EOFError,
    MemoryError,
    NotImplementedError,
    struct.error,
    zlib.error,
    Image.DecompressionBombError,
    Image.DecompressionBombWarning,
)
"""What decoders raise at damaged files."""

Image.MAX_IMAGE_PIXELS = MOST_PIXELS
_one_at_a_time = threading.Lock()


class NotAPicture(Exception):
    """Why what was sent is not kept, in a sentence."""


@dataclass(frozen=True)
class Shrunk:
    """A picture as we keep it: JPEG, longest side 1600, and a small one, longest side 320."""

    full: bytes
    small: bytes
    width: int
    height: int

    @property
    def sha(self) -> str:
        return sha256(self.full).hexdigest()


def shrink(sent: IO[bytes]) -> Shrunk:
    """The picture in the file, upright, in two sizes. Raises NotAPicture."""
    _refuse_large(sent)
    _refuse_many_scans(sent)
    with _one_at_a_time, warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        warnings.filterwarnings("ignore", category=UserWarning)
        try:
            return _shrink(sent)
        except Image.DecompressionBombWarning:
            raise NotAPicture(_too_many()) from None
        except Image.DecompressionBombError:
            raise NotAPicture(_too_many()) from None
        except UnidentifiedImageError:
            raise NotAPicture(_("This file is no picture that we can read. Send a JPEG, PNG or WebP.")) from None
        except FAULTS:
            raise NotAPicture(_("This picture is damaged or not complete. Take it once more.")) from None


def _shrink(sent: IO[bytes]) -> Shrunk:
    sent.seek(0)
    with Image.open(sent, formats=FORMATS) as image:
        _refuse_shape(image)
        _refuse_moving(image)
        image.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
        whole = _plain(image)
    whole.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    whole = _on_white(whole)
    small = whole.copy()
    small.thumbnail((SMALL_SIDE, SMALL_SIDE))
    return Shrunk(_encode(whole), _encode(small), whole.width, whole.height)


def _plain(image: Image.Image) -> Image.Image:
    """Decoded, made smaller while it still stands in its own colours, and turned upright."""
    image.load()
    if image.mode in {"P", "1"}:
        image = image.convert("RGBA" if "transparency" in image.info else "RGB")
    image.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    return ImageOps.exif_transpose(image)


def _on_white(image: Image.Image) -> Image.Image:
    if image.mode.startswith("I;16"):
        image = image.point(lambda value: value / 257).convert("L")
    if "A" not in image.getbands():
        return image.convert("RGB")
    ground = Image.new("RGB", image.size, "white")
    ground.paste(image.convert("RGBA"), mask=image.getchannel("A"))
    return ground


def _encode(image: Image.Image) -> bytes:
    """A new image of the same pixels: what rode along with the file stays behind."""
    bare = Image.new("RGB", image.size)
    bare.paste(image)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def _refuse_large(sent: IO[bytes]) -> None:
    if sent.seek(0, io.SEEK_END) > MOST_BYTES:
        raise NotAPicture(_("This file is larger than 25 MB. Send a smaller picture."))


def _refuse_many_scans(sent: IO[bytes]) -> None:
    """A JPEG may ask for its pixels to be gone over thousands of times; no camera's does."""
    sent.seek(0)
    scans, tail = 0, b""
    while chunk := sent.read(CHUNK):
        scans += (tail + chunk).count(START_OF_SCAN)
        tail = chunk[-1:]
    sent.seek(0)
    if scans > MOST_SCANS and sent.read(2) == b"\xff\xd8":
        raise NotAPicture(_("This picture is put together in a way that no camera does. Take it once more."))


def _refuse_shape(image: Image.Image) -> None:
    most = MOST_PIXELS_OF_WEBP if image.format == "WEBP" else MOST_PIXELS
    if image.width * image.height > most:
        raise NotAPicture(_too_many(most))
    if min(image.size) < LEAST_SIDE:
        raise NotAPicture(
            _("This picture is %(width)d by %(height)d points: too small to show a blanket.")
            % {"width": image.width, "height": image.height}
        )


def _refuse_moving(image: Image.Image) -> None:
    """Phones put a second still behind some JPEGs: that is no moving picture, and only the first is read."""
    if image.format in {"PNG", "WEBP"} and getattr(image, "n_frames", 1) > 1:
        raise NotAPicture(_("This is a moving picture. Send a still one."))


def _too_many(most: int = MOST_PIXELS) -> str:
    millions = {"millions": most // 1_000_000}
    return _("This picture has more than %(millions)d million points. Send a smaller one.") % millions
