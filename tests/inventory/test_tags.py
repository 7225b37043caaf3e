"""Tags: every single error and every change-round of two characters is caught, over all tags, not over a sample."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory import tags

CODES = st.text(alphabet=tags.ALPHABET, min_size=4, max_size=4)


def every_tag() -> np.ndarray:
    """All 31 ** 4 tags as figures, one row each, made by the function under test."""
    tables = {
        "".join(code): tags.tag("".join(code)) for code in itertools.product(tags.ALPHABET, repeat=tags.CODE_LENGTH)
    }
    values = {character: value for value, character in enumerate(tags.ALPHABET)}
    return np.array([[values[character] for character in tag] for tag in tables.values()])


@pytest.fixture(scope="module")
def all_tags() -> np.ndarray:
    return every_tag()


def test_the_alphabet_has_nothing_that_looks_alike() -> None:
    assert len(set(tags.ALPHABET)) == 31
    assert not set("0O1IL") & set(tags.ALPHABET)


def test_any_two_tags_differ_in_two_places(all_tags: np.ndarray) -> None:
    """Hence no single wrong character, at any of five places, ever makes another valid tag.

    Two tags that agree on four places are one tag: leaving any one column out, all rows are still different.
    """
    assert len(all_tags) == 31**4
    for left_out in range(5):
        rest = np.delete(all_tags, left_out, axis=1)
        assert len(np.unique(rest @ 31 ** np.arange(4))) == len(all_tags)


@pytest.mark.parametrize(("one", "other"), list(itertools.combinations(range(5), 2)))
def test_no_two_characters_changed_round_make_a_valid_tag(all_tags: np.ndarray, one: int, other: int) -> None:
    """Neighbours and any others."""
    key = 31 ** np.arange(5)
    changed = all_tags.copy()
    changed[:, [one, other]] = changed[:, [other, one]]
    different = changed[:, one] != changed[:, other]
    valid = np.isin(changed @ key, all_tags @ key)
    assert different.sum() > 800_000
    assert not (valid & different).any()


@given(CODES, st.integers(0, 4), st.sampled_from(tags.ALPHABET))
def test_a_wrong_character_is_refused_with_a_sentence(code: str, place: int, wrong: str) -> None:
    right = tags.tag(code)
    typed = right[:place] + wrong + right[place + 1 :]
    if typed == right:
        assert tags.read(typed) == right
    else:
        with pytest.raises(tags.BadTag, match="One character is wrong"):
            tags.read(typed)


@given(CODES)
def test_typing_is_forgiven_case_blanks_and_hyphens(code: str) -> None:
    right = tags.tag(code)
    assert tags.read(f" {right[:2].lower()}-{right[2:4]} {right[4].lower()} ") == right


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("ABO2C", "Tags have no letter O: look at character 3, “O”, once more."),
        ("1B22C", "Tags have no figure one: look at character 1, “1”, once more."),
        ("abcl2", "Tags have no letter L: look at character 4, “L”, once more."),
        ("AB!2C", "Tags have only letters and figures: character 3 is “!”."),
        ("ABC", "A tag has 5 characters; this has 3."),
        ("", "A tag has 5 characters; this has 0."),
    ],
)
def test_the_sentence_says_which_character(typed: str, sentence: str) -> None:
    with pytest.raises(tags.BadTag) as said:
        tags.read(typed)
    assert str(said.value) == sentence


def test_a_new_tag_is_none_of_those_taken() -> None:
    class AllButTwos:
        def __contains__(self, tag: object) -> bool:
            return not str(tag).startswith("2")

    assert tags.new(AllButTwos()).startswith("2")
    assert tags.is_tag(tags.new())


def test_numbered_tags_are_all_different() -> None:
    made = [tags.numbered(number) for number in range(2000)]
    assert len(set(made)) == 2000
    assert all(tags.is_tag(tag) for tag in made)
