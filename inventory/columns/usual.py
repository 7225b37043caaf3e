"""The usual shapes of a column: a field of the record, as a word, a text, a yes or no."""

from collections.abc import Callable, Mapping
from typing import Any

from django.db.models import TextChoices

from inventory.columns import readers
from inventory.columns.base import Column, Read


def attribute(name: str) -> Callable[[Any], Any]:
    return lambda record: getattr(record, name)


def said(name: str) -> Callable[[Any], Any]:
    """Nothing where the field is empty."""
    return lambda record: getattr(record, name) or None


def column(name: str, label: Any, read: Read, **about: Any) -> Column:
    return Column(name, label, read, attribute(name), **about)


def choice(name: str, label: Any, enum: type[TextChoices], more: Mapping[str, str], **about: Any) -> Column:
    choices = tuple((str(value), words) for value, words in enum.choices if value)
    usual: dict[str, Any] = {"read": readers.one_of(enum, more), "get": said(name), "choices": choices}
    return Column(name, label, asked="choice", **{**usual, **about})


def text(name: str, label: Any, most: int, **about: Any) -> Column:
    return Column(name, label, readers.words(most), said(name), **about)


def yes_or_no(name: str, label: Any, **about: Any) -> Column:
    return Column(name, label, readers.yes_or_no, attribute(name), **about)
