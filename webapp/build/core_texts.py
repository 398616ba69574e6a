"""The texts of the calculations, for whoever translates them: read out of the sources of the core.

Templates of ``say``, both forms of ``counted``, labels of the glossary, and every other constant that is
English. Some of these reach no screen; a translation without them is complete all the same.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from .paths import CORE

#: Two words or more, or one that begins with a capital.
_ENGLISH = re.compile(
    r"[A-Za-z]{2,}[,;:.]? +[A-Za-z({0-9]|^[A-Z][A-Za-z]+(-[a-z]+)?[.:]?$|\} [A-Za-z]{2}|[A-Za-z]{2}[:,]? \{"
    r"|^[A-Z] [a-z]+|^[0-9]+ % [a-z]+"
)
_WORD = re.compile(r"^[ a-z][a-z' ,-]*[a-z][.:]?$")
#: Written for programs, or the same in every language.
_NOT_TRANSLATED = {"csvw.py", "columns.py", "__main__.py", "demo_eyes.py"}


@dataclass
class Texts:
    """English texts, and of counted words the form for one by the form for several."""

    texts: set[str] = field(default_factory=set)
    forms: dict[str, str] = field(default_factory=dict)


def core_texts() -> Texts:
    """All texts of the core's sources."""
    found = Texts()
    for path in sorted(CORE.rglob("*.py")):
        if path.name not in _NOT_TRANSLATED:
            _read(path, found)
    return found


def _read(path: Path, found: Texts) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    small = path.name.startswith("fields") or path.parent.name in {"api", "fixation", "records"}
    found.texts.update(text for text in _constants(tree) if _is_text(text, small=small))
    for call in ast.walk(tree):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.args:
            given = _strings(call.args)
            if call.func.id == "say":
                found.texts.update(given[:1])
            elif call.func.id == "counted" and len(given) == 2:
                found.forms[given[1]] = given[0]


def _strings(nodes: list[ast.expr]) -> list[str]:
    return [one.value for one in nodes if isinstance(one, ast.Constant) and isinstance(one.value, str)]


def _is_text(text: str, *, small: bool) -> bool:
    return bool(_ENGLISH.search(text) or (small and _WORD.search(text)))


def _constants(tree: ast.AST) -> Iterator[str]:
    """Strings that are neither docstrings nor names: keys, subscripts, what is compared."""
    names = {id(one) for node in ast.walk(tree) for one in _names(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in names:
            yield node.value


def _names(node: ast.AST) -> Iterator[ast.AST]:
    match node:
        case ast.Expr():
            yield node.value
        case ast.Dict():
            yield from (key for key in node.keys if key is not None)
        case ast.Subscript():
            yield from ast.walk(node.slice)
        case ast.Compare():
            yield from ast.walk(node)
        case ast.JoinedStr():
            yield from ast.walk(node)
