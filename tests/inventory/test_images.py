"""Pictures from strangers: what is refused, what is kept, and that memory stays bounded.

JPEG markers and the Exif orientation tag (0x0112) are those of ITU-T T.81 and of Exif 2.3, PNG chunks those of ISO/IEC
15948 (all from memory).
"""

import contextlib
import io
import random
import struct
import subprocess
import sys
import zlib
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from inventory import images
from tests.harness import size

RED, BLUE = (200, 30, 30), (30, 30, 200)


def drawn(width: int = 400, height: int = 300, mode: str = "RGB") -> Image.Image:
    """Left half red, right half blue, so that turning shows."""
    image = Image.new("RGB", (width, height), RED)
    image.paste(BLUE, (width // 2, 0, width, height))
    return image.convert(mode)


def sent(image: Image.Image, form: str = "JPEG", **options: object) -> io.BytesIO:
    out = io.BytesIO()
    image.save(out, form, **options)
    return out


def png_chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png_claiming(width: int, height: int, rows: bytes = b"") -> io.BytesIO:
    """A PNG whose header claims any size, whatever stands in it."""
    head = png_chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return io.BytesIO(b"\x89PNG\r\n\x1a\n" + head + png_chunk(b"IDAT", zlib.compress(rows)) + png_chunk(b"IEND", b""))


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def like(pixel: tuple[int, ...], colour: tuple[int, int, int]) -> bool:
    return all(abs(got - wanted) < 40 for got, wanted in zip(pixel, colour, strict=True))


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_picture_is_kept_as_two_jpegs(form: str) -> None:
    kept = images.shrink(sent(drawn(3000, 2000), form))
    full, small = opened(kept.full), opened(kept.small)
    assert (full.format, full.size, (kept.width, kept.height)) == ("JPEG", (1600, 1067), (1600, 1067))
    assert (small.format, small.size) == ("JPEG", (320, 213))
    assert like(full.getpixel((100, 500)), RED)
    assert like(full.getpixel((1500, 500)), BLUE)


def test_a_small_picture_is_not_blown_up() -> None:
    assert opened(images.shrink(sent(drawn(200, 100))).full).size == (200, 100)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "CMYK", "I;16"])
def test_every_colour_mode_becomes_rgb(mode: str) -> None:
    image = drawn(mode="L").convert("I;16") if mode == "I;16" else drawn(mode=mode)
    form = "JPEG" if mode == "CMYK" else "PNG"
    assert opened(images.shrink(sent(image, form)).full).mode == "RGB"


def test_sixteen_bits_keep_their_light() -> None:
    grey = Image.new("I;16", (100, 100), 32768)
    assert opened(images.shrink(sent(grey, "PNG")).full).getpixel((50, 50)) == pytest.approx((127, 127, 127), abs=4)


def test_what_is_see_through_becomes_white() -> None:
    clear = Image.new("RGBA", (100, 100), (0, 0, 0, 0))
    assert opened(images.shrink(sent(clear, "PNG")).full).getpixel((50, 50)) == (255, 255, 255)


def test_the_phone_was_held_upright() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    kept = images.shrink(sent(drawn(400, 300), exif=exif))
    full = opened(kept.full)
    assert full.size == (300, 400)
    assert like(full.getpixel((150, 50)), RED)
    assert like(full.getpixel((150, 350)), BLUE)


def test_where_it_was_taken_is_removed() -> None:
    exif = Image.Exif()
    exif[0x010F] = "A maker"
    exif.get_ifd(0x8825).update({1: "N", 2: (61.0, 13.0, 5.0), 3: "W", 4: (149.0, 53.0, 59.0)})
    data = sent(drawn(), exif=exif, comment=b"by the back door", icc_profile=b"profile" * 20)
    assert b"A maker" in data.getvalue()
    kept = images.shrink(data)
    for file in (kept.full, kept.small):
        assert len(opened(file).getexif()) == 0
        assert not {"exif", "comment", "icc_profile"} & opened(file).info.keys()
        assert b"A maker" not in file


def test_what_hides_behind_a_picture_stays_behind() -> None:
    """A JPEG that is a page with script, or an archive, to another reader."""
    for rider in (b"<script>alert(1)</script>", b"PK\x03\x04 archive"):
        data = io.BytesIO(sent(drawn()).getvalue() + rider)
        kept = images.shrink(data)
        assert rider not in kept.full + kept.small


def test_two_stills_in_one_jpeg_are_a_picture() -> None:
    data = sent(drawn(), "MPO", save_all=True, append_images=[drawn(64, 64)])
    assert opened(images.shrink(data).full).size == (400, 300)


def moving(form: str) -> io.BytesIO:
    return sent(drawn(), form, save_all=True, append_images=[drawn(mode="L").convert("RGB")], duration=100)


SVG = b'<svg xmlns="http://www.w3.org/2000/svg" width="400" height="300"><script>alert(1)</script></svg>'
HOSTILE: dict[str, tuple[Callable[[], io.BytesIO], str]] = {
    "text": (lambda: io.BytesIO(b"This is not a picture."), "no picture"),
    "nothing": (lambda: io.BytesIO(b""), "no picture"),
    "script in svg": (lambda: io.BytesIO(SVG), "no picture"),
    "page": (lambda: io.BytesIO(b"<html><body onload=alert(1)>"), "no picture"),
    "gif and script": (lambda: io.BytesIO(b"GIF89a/*" + b"\0" * 50 + b"*/=1;alert(1)"), "no picture"),
    "gif": (lambda: sent(drawn(), "GIF"), "no picture"),
    "tiff": (lambda: sent(drawn(), "TIFF"), "no picture"),
    "windows icon": (lambda: sent(drawn(64, 64), "ICO"), "no picture"),
    "postscript": (lambda: io.BytesIO(b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 400 300\n"), "no picture"),
    "moving png": (lambda: moving("PNG"), "moving"),
    "moving webp": (lambda: moving("WEBP"), "moving"),
    "1 by 1": (lambda: sent(drawn(2, 1).crop((0, 0, 1, 1)), "PNG"), "too small"),
    "60,000 by 1": (lambda: sent(Image.new("RGB", (60_000, 1)), "PNG"), "too small"),
    "claims 60,000 by 60,000": (lambda: png_claiming(60_000, 60_000), "60 million"),
    "claims 7,800 by 7,800": (lambda: png_claiming(7_800, 7_800), "60 million"),
    "webp of 17 million": (lambda: sent(Image.new("RGB", (4_250, 4_000)), "WEBP", method=0), "16 million"),
    "claims 2,000 by 2,000": (lambda: png_claiming(2_000, 2_000), "damaged"),
    "truncated": (lambda: io.BytesIO(sent(drawn(800, 600)).getvalue()[:3000]), "damaged"),
    "truncated png": (lambda: io.BytesIO(sent(drawn(800, 600), "PNG").getvalue()[:600]), "damaged"),
    "26 MB": (lambda: io.BytesIO(sent(drawn()).getvalue() + b"\0" * (26 * 1024 * 1024)), "25 MB"),
    "thousands of scans": (lambda: io.BytesIO(b"\xff\xd8" + b"\xff\xda\0\0" * 5000), "no camera"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_pictures_are_refused_with_a_sentence(name: str) -> None:
    make, word = HOSTILE[name]
    with pytest.raises(images.NotAPicture, match=word) as said:
        images.shrink(make())
    assert str(said.value).endswith(".")


def test_sixty_million_points_are_accepted() -> None:
    image = Image.new("L", (8_000, 7_500), 128)
    assert opened(images.shrink(sent(image)).full).size == (1600, 1500)


MEASURE = """
import io, resource, sys, django
from django.conf import settings
settings.configure(); django.setup()
from PIL import Image
from inventory import images
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
with open(sys.argv[1], "rb") as file:
    try: images.shrink(file)
    except images.NotAPicture as said: print(said)
print("MB", (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024)
"""


@pytest.mark.parametrize(
    ("form", "width", "height", "options", "most_mb"),
    [
        ("JPEG", 8_000, 7_500, {}, 150),
        ("JPEG", 8_000, 7_500, {"progressive": True}, 450),
        ("PNG", 8_000, 7_500, {}, 350),
        ("PNG", 12_000, 12_000, {}, 20),
        ("WEBP", 4_000, 4_000, {"method": 0}, 350),
        ("WEBP", 8_000, 7_500, {"method": 0}, 30),
    ],
)
def test_memory_is_bounded(tmp_path, form: str, width: int, height: int, options: dict, most_mb: int) -> None:
    """In a process of its own: the largest accepted, and a bomb of 144 million points, refused by its header."""
    path = tmp_path / "sent"
    path.write_bytes(sent(Image.new("RGB", (width, height), RED), form, **options).getvalue())
    told = subprocess.run(
        [sys.executable, "-c", MEASURE, str(path)], capture_output=True, text=True, check=True, timeout=120
    ).stdout
    assert int(told.split("MB")[1]) < most_mb, told


@settings(max_examples=size(2000), deadline=None)
@given(st.integers(0, 2**32), st.sampled_from(["JPEG", "PNG", "WEBP"]))
def test_damaged_pictures_are_read_or_refused_never_a_fault(seed: int, form: str) -> None:
    chance = random.Random(seed)
    data = bytearray(sent(drawn(120, 90), form).getvalue())
    for _ in range(chance.randint(1, 20)):
        data[chance.randrange(len(data))] = chance.randrange(256)
    if chance.random() < 0.3:
        del data[chance.randrange(len(data)) :]
    with contextlib.suppress(images.NotAPicture):
        kept = images.shrink(io.BytesIO(bytes(data)))
        assert opened(kept.full).format == "JPEG"
