"""Cells that a spreadsheet program would take for a formula are written so that it does not, and read back whole.

The characters are those of OWASP's page on CSV injection, the full-width ones besides. Texts that already begin with
apostrophes before such a character get one more, so that reading takes exactly one off again.
"""

import re
from typing import Final

_RISKY: Final = re.compile(r"'*[=+\-@\t\r\n＝＋－＠]")
_GUARDED: Final = re.compile(r"'+[=+\-@\t\r\n＝＋－＠]")


def guarded(text: str) -> str:
    return f"'{text}" if _RISKY.match(text) else text


def whole(text: str) -> str:
    """The text that guarded() was given."""
    return text[1:] if _GUARDED.match(text) else text
