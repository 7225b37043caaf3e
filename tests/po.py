"""Reads a catalogue's .po file: enough of the format to know what it says, without the tools that compile it."""

import ast
from dataclasses import dataclass, field
from pathlib import Path


@dataclass
class Entry:
    """context, text, plural as they stand in the code; translated: one string, or one for each plural form."""

    context: str = ""
    text: str = ""
    plural: str = ""
    translated: dict[int, str] = field(default_factory=dict)
    flags: set[str] = field(default_factory=set)
    obsolete: bool = False

    @property
    def fuzzy(self) -> bool:
        return "fuzzy" in self.flags

    @property
    def key(self) -> str:
        """As the compiled catalogue names it."""
        return f"{self.context}\x04{self.text}" if self.context else self.text


def read(path: Path) -> list[Entry]:
    found: list[Entry] = []
    for block in path.read_text(encoding="utf-8").split("\n\n"):
        entry = _entry(block)
        if entry is not None:
            found.append(entry)
    return found


def _entry(block: str) -> Entry | None:
    entry, into, begun = Entry(), "", False
    texts: dict[str, str] = {}
    for raw in block.splitlines():
        entry.obsolete |= raw.startswith("#~")
        line = raw.removeprefix("#~").strip()
        if line.startswith("#,"):
            entry.flags |= {flag.strip() for flag in line[2:].split(",")}
        elif line.startswith("msg"):
            into, _space, quoted = line.partition(" ")
            texts[into] = ast.literal_eval(quoted)
            begun = True
        elif line.startswith('"') and begun:
            texts[into] += ast.literal_eval(line)
    if not begun:
        return None
    entry.context, entry.text, entry.plural = (texts.get(name, "") for name in ("msgctxt", "msgid", "msgid_plural"))
    forms = {name: text for name, text in texts.items() if name.startswith("msgstr")}
    entry.translated = {int(name[7:-1]) if "[" in name else 0: text for name, text in forms.items()}
    return entry
