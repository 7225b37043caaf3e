"""Who gets which answer from which address: (url name, method) -> the status for each of the cast.

Rows stand in tests/access/<area>.py, one line each, in a dict named TABLE:

    ("blanket", "GET"): row("200 200 200 200 404 404", pk="owners_blanket"),

The six figures are manager, staff, owner, staff_owner, other_owner, lessee. Not listed are those who get the same
answer everywhere: anonymous is sent to sign in, stranger and leaver get 404. A third part of the key tells rows of one
address apart: ("blanket", "GET", "worn").
"""

import pkgutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any

from django.urls import URLPattern, URLResolver, get_resolver

from tests import access
from tests.cast import Cast

LISTED = ("manager", "staff", "owner", "staff_owner", "other_owner", "lessee")
LOGIN = "login"
METHODS = ("GET", "POST")

Key = tuple[str, ...]
Answer = int | str
Given = str | Callable[[Cast], Any]


@dataclass(frozen=True)
class Row:
    """What each role is answered; how the address's parts and the form's fields are filled from the cast."""

    answers: Mapping[str, Answer]
    parts: Mapping[str, Given] = field(default_factory=dict)
    data: Mapping[str, Any] = field(default_factory=dict)

    def kwargs(self, cast: Cast) -> dict[str, Any]:
        filled = {
            name: getattr(cast, given).pk if isinstance(given, str) else given(cast)
            for name, given in self.parts.items()
        }
        return {"slug": cast.barn.slug, **filled}

    def fields(self, cast: Cast) -> dict[str, Any]:
        return {name: given(cast) if callable(given) else given for name, given in self.data.items()}


def row(
    statuses: str,
    *,
    data: Mapping[str, Any] | None = None,
    anonymous: Answer = LOGIN,
    other: Answer = 404,
    **parts: Given,
) -> Row:
    """statuses: the six of LISTED. parts: the address's, a name of the cast (for its pk) or a function of it.

    data: the form's fields, plain or functions of the cast; `once` is added to every POST. other: stranger and leaver.
    """
    figures = [int(status) for status in statuses.split()]
    answers: dict[str, Answer] = dict(zip(LISTED, figures, strict=True))
    return Row({"anonymous": anonymous, **answers, "stranger": other, "leaver": other}, parts, data or {})


def table() -> dict[Key, Row]:
    """All rows of all areas; the same key in two areas is an error."""
    merged: dict[Key, Row] = {}
    for module in pkgutil.iter_modules(access.__path__):
        rows: dict[Key, Row] = import_module(f"{access.__name__}.{module.name}").TABLE
        twice = merged.keys() & rows.keys()
        if twice:
            raise ValueError(f"{sorted(twice)} stand in two files")
        merged |= rows
    return merged


def routes() -> set[str]:
    """Names of all addresses of a barn; one without a name is answered by its pattern."""
    return set(_walk(get_resolver().url_patterns, in_barn=False))


def _walk(patterns: list[URLPattern | URLResolver], in_barn: bool) -> Iterator[str]:
    for pattern in patterns:
        inside = in_barn or "slug" in pattern.pattern.converters
        if isinstance(pattern, URLResolver):
            yield from _walk(pattern.url_patterns, inside)
        elif inside:
            yield pattern.name or f"without a name: {pattern.pattern}"
