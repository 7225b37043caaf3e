"""Tags: four characters and a check character, as written on a label and typed at a stall door.

The alphabet leaves out 0 and O, 1, I and L, which look alike on a worn label. Its 31 characters are a prime number, so
that the weighted sum of a tag, with weights 1 to 5, is a multiple of 31 only for a tag written right: one wrong
character shifts the sum by weight times difference, two characters changed round by difference of weights times
difference of characters, and a product is a multiple of a prime only if one of its factors is.
"""

import secrets
from collections.abc import Container
from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

ALPHABET: Final = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
LENGTH: Final = 5
CODE_LENGTH: Final = LENGTH - 1
PRIME: Final = len(ALPHABET)

UNUSED: Final = {
    "0": gettext_lazy("no zero"),
    "O": gettext_lazy("no letter O"),
    "1": gettext_lazy("no figure one"),
    "I": gettext_lazy("no letter I"),
    "L": gettext_lazy("no letter L"),
}
_VALUES: Final = {character: value for value, character in enumerate(ALPHABET)}
_TRIES: Final = 1000


class BadTag(ValueError):
    """What was typed is no tag; the message says which character, in a sentence."""


def check_character(code: str) -> str:
    """The fifth character of a tag, from its first four."""
    total = sum(weight * _VALUES[character] for weight, character in enumerate(code, start=1))
    return ALPHABET[-total * pow(LENGTH, -1, PRIME) % PRIME]


def tag(code: str) -> str:
    return code + check_character(code)


def is_tag(text: str) -> bool:
    return len(text) == LENGTH and _VALUES.keys() >= set(text) and check_character(text[:CODE_LENGTH]) == text[-1]


def tidy(typed: str) -> str:
    """Capitals, without the blanks, dots and hyphens that people put between characters."""
    return "".join(character for character in typed.upper() if not (character.isspace() or character in "-.·_"))


def read(typed: str) -> str:
    """The tag that was typed. Raises BadTag with a sentence that says what is wrong with it."""
    text = tidy(typed)
    for place, character in enumerate(text, start=1):
        if character not in _VALUES:
            raise BadTag(_stranger(character, place))
    if len(text) != LENGTH:
        raise BadTag(_("A tag has %(long)d characters; this has %(typed)d.") % {"long": LENGTH, "typed": len(text)})
    if not is_tag(text):
        raise BadTag(_("One character is wrong, or two are changed round. Read the label once more."))
    return text


def _stranger(character: str, place: int) -> str:
    values = {"unused": UNUSED.get(character, ""), "place": place, "character": character}
    if values["unused"]:
        return _("Tags have %(unused)s: look at character %(place)d, “%(character)s”, once more.") % values
    return _("Tags have only letters and figures: character %(place)d is “%(character)s”.") % values


def new(taken: Container[str] = ()) -> str:
    """A tag that nobody could guess from another and that is not taken."""
    for _try in range(_TRIES):
        made = tag("".join(secrets.choice(ALPHABET) for _place in range(CODE_LENGTH)))
        if made not in taken:
            return made
    raise BadTag(_("No free tag was found."))


def numbered(number: int) -> str:
    """The tag of a number, 0 to 923,520: for a demo or a test that must come out the same each time."""
    code = ""
    for _place in range(CODE_LENGTH):
        number, value = divmod(number, PRIME)
        code = ALPHABET[value] + code
    return tag(code)
