"""What a catalogue must hold: every message of the code and the templates; and what no catalogue can know: plain text.

Read from the syntax trees, without the tools that make catalogues, so that these cannot agree on a mistake.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings
from django.template import engines
from django.template.base import Node, Template, TextNode
from django.template.loader_tags import ExtendsNode
from django.templatetags.i18n import BlockTranslateNode, TranslateNode

ROOT = Path(settings.BASE_DIR)
APPS = ("barnrugs", "horses", "inventory")
SINGULAR = {"_", "gettext", "gettext_lazy", "gettext_noop", "mark", "lazy"}
PLURAL = {"ngettext", "ngettext_lazy"}
CONTEXT = {"pgettext", "pgettext_lazy"}


@dataclass(frozen=True)
class Message:
    """A message and where it stands; plural: the same for several; context: which of several meanings."""

    text: str
    plural: str
    where: str
    context: str = ""


def sources() -> Iterator[Path]:
    for app in APPS:
        for path in sorted((ROOT / app).rglob("*.py")):
            if "migrations" not in path.parts:
                yield path


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text())


def called(node: ast.AST) -> str:
    if not isinstance(node, ast.Call):
        return ""
    return getattr(node.func, "id", getattr(node.func, "attr", ""))


def constant(node: ast.AST | None) -> str | None:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


def of_code() -> Iterator[Message]:
    for path in sources():
        for node in ast.walk(tree(path)):
            name = called(node)
            if name not in SINGULAR | PLURAL | CONTEXT or not node.args:
                continue
            context, *rest = (
                [constant(one) for one in node.args] if name in CONTEXT else ["", *map(constant, node.args)]
            )
            plural = rest[1] if name in PLURAL else ""
            if rest[0]:
                yield Message(rest[0], plural or "", f"{path.relative_to(ROOT)}:{node.lineno}", context or "")


def templates() -> Iterator[tuple[Path, Template]]:
    engine = engines["django"]
    for path in sorted((ROOT / "templates").rglob("*")):
        if path.is_file() and path.suffix in (".html", ".txt", ".svg"):
            yield path, engine.from_string(path.read_text()).template


def nodes(found: Any) -> Iterator[Node]:
    """Every node of a template, blocks and branches included."""
    for node in found:
        yield node
        if isinstance(node, ExtendsNode):
            yield from nodes(node.nodelist)
            continue
        for name in getattr(node, "child_nodelists", ()):
            yield from nodes(getattr(node, name, None) or ())
        for _condition, branch in getattr(node, "conditions_nodelists", ()):
            yield from nodes(branch)


def of_templates() -> Iterator[Message]:
    for path, template in templates():
        where = str(path.relative_to(ROOT))
        for node in nodes(template.nodelist):
            if isinstance(node, TranslateNode):
                yield Message(str(node.filter_expression.var.literal).replace("%", "%%"), "", where)
            elif isinstance(node, BlockTranslateNode):
                yield Message(_body(node, node.singular), _body(node, node.plural) if node.plural else "", where)
        for text in re.findall(r'_\("([^"]+)"\)', path.read_text()):
            yield Message(text, "", where)


def _body(node: BlockTranslateNode, tokens: Any) -> str:
    text, _names = node.render_token_list(tokens)
    return " ".join(text.split()) if node.trimmed else text


TAG = re.compile(r"<(script|style)\b.*?</\1>|<[^>]*>|<!--.*?-->", re.DOTALL)
WORD = re.compile(r"[^\W\d_]{2,}")
SPOKEN = re.compile(r'\b(?:aria-label|alt|title|placeholder)="([^"{]*[^\W\d_]{2,}[^"{]*)"')
BLOCK_WORDS = {"narrow"}
"""What a page writes into the block that names its width."""
NOT_FOR_PEOPLE = {"bare.html"}
"""The measure of a page without anything on it."""
NOT_WORDS = BLOCK_WORDS | {
    "barnrugs",
    "csv",
    "kg",
    "cm",
    "mm",
    "mg",
    "nbsp",
    "middot",
    "tog",
    "ndash",
    "times",
    "doctype",
    "html",
}


def plain_text() -> Iterator[tuple[str, str]]:
    """Words that stand in a template outside every translation: where, and what."""
    for path, template in templates():
        raw = "".join(
            node.s if isinstance(node, TextNode) else "\N{OBJECT REPLACEMENT CHARACTER}"
            for node in nodes(template.nodelist)
            if isinstance(node, TextNode | TranslateNode | BlockTranslateNode)
        )
        text = TAG.sub(" ", raw)
        words = [word for word in WORD.findall(text) if word.lower() not in NOT_WORDS]
        if words and path.name not in NOT_FOR_PEOPLE:
            yield str(path.relative_to(ROOT)), " ".join(words)[:300]
        for spoken in SPOKEN.findall(raw):
            yield str(path.relative_to(ROOT)), spoken
