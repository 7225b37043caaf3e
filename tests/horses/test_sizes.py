"""Sizes as people write them. Feet, inches and centimetres: international yard, 1959 (from memory), 1 in = 2.54 cm."""

import contextlib
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from horses import sizes
from horses.enums import SizeSystem

IN, FT, CM, BACK = SizeSystem.INCHES, SizeSystem.FEET_INCHES, SizeSystem.CM_CHEST_TAIL, SizeSystem.CM_BACK


@pytest.mark.parametrize(
    ("typed", "chosen", "system", "inches"),
    [
        ("78", IN, IN, "78.0"),
        (' 78" ', IN, IN, "78.0"),
        ("78 in", IN, IN, "78.0"),
        ("78 inches", BACK, IN, "78.0"),
        ("78''", IN, IN, "78.0"),
        ("78”", IN, IN, "78.0"),
        ("78½", IN, IN, "78.5"),
        ("78 1/2", IN, IN, "78.5"),
        ("78,5", IN, IN, "78.5"),
        ("6'6", IN, FT, "78.0"),
        ("6'6\"", IN, FT, "78.0"),
        ("6’ 6”", IN, FT, "78.0"),
        ("6 ft 6", IN, FT, "78.0"),
        ("6ft6in", IN, FT, "78.0"),
        ("6 feet", IN, FT, "72.0"),
        ("6 6", FT, FT, "78.0"),
        ("6-9", FT, FT, "81.0"),
        ("78", FT, IN, "78.0"),
        ("198 cm", IN, CM, "78.0"),
        ("198cm", CM, CM, "78.0"),
        ("198", CM, CM, "78.0"),
        ("145 cm", CM, CM, "57.1"),
    ],
)
def test_sizes_from_chest_to_tail(typed: str, chosen: SizeSystem, system: SizeSystem, inches: str) -> None:
    assert sizes.read(typed, chosen) == sizes.Size(typed.strip(), system, inches=Decimal(inches))


@pytest.mark.parametrize("typed", ["145", "145 cm", "145cm"])
def test_sizes_along_the_back_are_never_converted(typed: str) -> None:
    assert sizes.read(typed, BACK) == sizes.Size(typed, BACK, back_cm=Decimal("145.0"))


@pytest.mark.parametrize(
    ("typed", "chosen", "word"),
    [
        ("", IN, "no size"),
        ("large", IN, "no size"),
        ("78 parrots", IN, "no size"),
        ("-78", IN, "no size"),
        ("7e1", IN, "no size"),
        ("٧٨", CM, "no size"),
        ("6 6", IN, "no size"),
        ("6.6", FT, "6'6"),
        ("6'13", IN, "12 inches"),
        ("145 cm", IN, "choose which"),
        ("198", IN, "longer than any"),
        ("29", IN, "from 30"),
        ("111 in", IN, "from 30"),
        ("49", BACK, "from 50"),
        ("201", BACK, "from 50"),
        ("78 1/0", IN, "no size"),
    ],
)
def test_what_cannot_be_read_is_refused_with_a_sentence(typed: str, chosen: SizeSystem, word: str) -> None:
    with pytest.raises(sizes.BadSize, match=word) as said:
        sizes.read(typed, chosen)
    assert str(said.value)[0].isupper() or str(said.value)[0] in "“1234567890"
    assert str(said.value).endswith(".")


@given(st.integers(30, 110))
def test_all_ways_of_writing_a_size_agree(inches: int) -> None:
    by_hand = [f"{inches}", f'{inches}"', f"{inches // 12} ft {inches % 12}"]
    written = [*by_hand, sizes.as_feet(inches), sizes.as_inches(inches)]
    assert {sizes.read(text, IN).inches for text in written} == {Decimal(inches)}


@given(st.text(max_size=30), st.sampled_from(SizeSystem))
def test_any_text_is_a_size_or_a_sentence(text: str, system: SizeSystem) -> None:
    with contextlib.suppress(sizes.BadSize):
        size = sizes.read(text, system)
        assert (size.inches is None) != (size.back_cm is None)


def test_shown_both_ways() -> None:
    assert (sizes.as_inches(Decimal("78.0")), sizes.as_feet(Decimal("78.0"))) == ('78"', "6'6")
    assert sizes.as_feet(Decimal("80.5")) == "6'8.5"
    assert sizes.read("78", IN).chest_to_tail_cm == Decimal("198.1")
