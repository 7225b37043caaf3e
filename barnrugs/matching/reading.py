"""JSON from a stranger: text read within bounds, and readers of single values that name every fault with its path.

A reader takes a value, its path and the list of faults so far; it adds the faults it finds and returns what it read.
"""

import json
import math
import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any, Final

MOST_BYTES: Final = 4_000_000
MOST_DEPTH: Final = 12
MOST_SHOWN: Final = 40
"""How large a text may be, how deep it may nest, and how much of a wrong word is shown."""

YEARS: Final = (1900, 2200)


class Faults(ValueError):
    """A case that cannot be answered; faults: one line each, `path: reason`."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__("\n".join(faults))
        self.faults = faults


class Wrong(ValueError):
    """One value is wrong; str() is the reason."""


class NeededType:
    """Marks a key that must be there."""


NEEDED: Final = NeededType()
Read = Callable[[Any, str, list[str]], Any]


@dataclass(frozen=True, slots=True)
class Key:
    """How one key is read, and what it is if it is not there."""

    read: Read
    default: Any = NEEDED


class Doubled(dict[str, Any]):
    """An object of JSON that remembers keys given twice."""

    doubled: tuple[str, ...] = ()


def decoded(raw: bytes) -> Any:
    """The data of a JSON text: no recursion, no huge integer, no foreign encoding gets through. Raises Faults."""
    if len(raw) > MOST_BYTES:
        raise Faults([f"case: is larger than {MOST_BYTES} bytes"])
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as why:
        raise Faults([f"case: is not UTF-8 text at byte {why.start}"]) from why
    if _depth(text) > MOST_DEPTH:
        raise Faults([f"case: is nested more than {MOST_DEPTH} deep"])
    try:
        return json.loads(text, object_pairs_hook=_object, parse_int=_whole)
    except json.JSONDecodeError as why:
        raise Faults([f"case: is not JSON: {why.msg} at line {why.lineno} column {why.colno}"]) from why


_MARKS: Final = re.compile(r'"(?:[^"\\]|\\.)*"|[\[{]|[\]}]', re.DOTALL)


def _depth(text: str) -> int:
    """How deep brackets nest, counted without recursion."""
    depth = deepest = 0
    for mark in _MARKS.finditer(text):
        depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(mark.group()[0], 0)
        deepest = max(deepest, depth)
    return deepest


def _object(pairs: list[tuple[str, Any]]) -> Doubled:
    found = Doubled(pairs)
    found.doubled = tuple(key for key, count in Counter(key for key, _ in pairs).items() if count > 1)
    return found


def _whole(digits: str) -> int | float:
    return int(digits) if len(digits) < 20 else float(digits)


def _checked(check_value: Callable[[Any], Any]) -> Read:
    def read(value: Any, path: str, faults: list[str]) -> Any:
        try:
            return check_value(value)
        except Wrong as why:
            faults.append(f"{path}: {why}")
            return None

    return read


def number(low: float, high: float) -> Read:
    def check_value(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise Wrong(f"must be a number, not {_named(value)}")
        if math.isnan(value) or not low <= value <= high:
            raise Wrong(f"must lie between {low:g} and {high:g}")
        return float(value)

    return _checked(check_value)


def whole(low: int, high: int) -> Read:
    in_range = number(low, high)

    def read(value: Any, path: str, faults: list[str]) -> int | None:
        found = in_range(value, path, faults)
        if found is not None and found != int(found):
            faults.append(f"{path}: must be a whole number")
            return None
        return None if found is None else int(found)

    return read


def word(words: type[StrEnum]) -> Read:
    def check_value(value: Any) -> StrEnum:
        if not isinstance(value, str):
            raise Wrong(f"must be a word, not {_named(value)}")
        if value not in list(words):
            raise Wrong(f"{_shown(value)} is not one of {', '.join(words)}")
        return words(value)

    return _checked(check_value)


def _flag(value: Any) -> bool:
    if not isinstance(value, bool):
        raise Wrong(f"must be true or false, not {_named(value)}")
    return value


def _tag(value: Any) -> str:
    if not isinstance(value, str):
        raise Wrong(f"must be text, not {_named(value)}")
    if not 1 <= len(value) <= MOST_SHOWN or not value.isprintable() or not value.strip():
        raise Wrong(f"must be 1 to {MOST_SHOWN} printable characters")
    return value


def _time(value: Any) -> datetime:
    if not isinstance(value, str):
        raise Wrong(f"must be a time as text, not {_named(value)}")
    try:
        found = datetime.fromisoformat(value)
    except ValueError as why:
        raise Wrong(f"{_shown(value)} is not a time like 2026-01-10T18:00:00Z") from why
    if found.tzinfo is None:
        raise Wrong("must name its zone, as Z for UTC")
    if not YEARS[0] <= found.year < YEARS[1]:
        raise Wrong(f"must lie in the years {YEARS[0]} to {YEARS[1]}")
    return found


flag, tag, time = _checked(_flag), _checked(_tag), _checked(_time)


def or_null(read: Read) -> Read:
    return lambda value, path, faults: None if value is None else read(value, path, faults)


def several(read: Read, *, least: int = 0, most: int = 50) -> Read:
    def read_list(value: Any, path: str, faults: list[str]) -> list[Any]:
        if not isinstance(value, list):
            faults.append(f"{path}: must be a list, not {_named(value)}")
            return []
        if not least <= len(value) <= most:
            faults.append(f"{path}: must hold {least} to {most} entries, not {len(value)}")
            return []
        return [read(one, f"{path}[{index}]", faults) for index, one in enumerate(value)]

    return read_list


def group(keys: Mapping[str, Key]) -> Read:
    return lambda value, path, faults: read_object(value, path, faults, keys)


def read_object(value: Any, path: str, faults: list[str], keys: Mapping[str, Key]) -> dict[str, Any] | None:
    """An object's keys, each read or defaulted; unknown, doubled and missing ones are faults."""
    if not isinstance(value, Doubled):
        faults.append(f"{path or 'case'}: must be an object, not {_named(value)}")
        return None
    faults += [f"{_join(path, key)}: is given twice" for key in value.doubled]
    faults += [f"{_join(path, key)}: is not a known field" for key in value if key not in keys]
    return {name: _read_key(value, name, key, _join(path, name), faults) for name, key in keys.items()}


def _read_key(value: Mapping[str, Any], name: str, key: Key, path: str, faults: list[str]) -> Any:
    if name in value:
        return key.read(value[name], path, faults)
    if key.default is NEEDED:
        faults.append(f"{path}: is needed")
        return None
    return key.default


def _join(path: str, key: str) -> str:
    shown = key if key.isidentifier() and key.isascii() and len(key) <= MOST_SHOWN else _shown(key)
    return f"{path}.{shown}" if path else shown


def _shown(text: str) -> str:
    return json.dumps(text if len(text) <= MOST_SHOWN else text[:MOST_SHOWN] + "...")


def _named(value: Any) -> str:
    names = {type(None): "null", bool: "true or false", str: "text", list: "a list", Doubled: "an object"}
    return names.get(type(value), "a number")
