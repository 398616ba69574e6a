"""Checks on the text of the sources: size, forbidden marks, arithmetic in the browser."""

from __future__ import annotations

import ast
import re
import statistics
from collections.abc import Iterator

from .tracked import sources, texts

MOST_LINES = 400
MOST_MEDIAN_LINES = 10
# Spelled in pieces so that this list does not find itself.
MARKS = ["TO" + "DO", "FIX" + "ME", "XX" + "X:", "HA" + "CK", "coming " + "soon",
         "NotImplemented" + "Error"]
HOSTS = ["py" + "pi.org", "python" + "hosted", "npm" + "js", "js" + "delivr", "deb." + "debian",
         "un" + "pkg", "/wo" + "rk/"]
UNIT_NAME = r"[\w.\]?]*\w_(?:d|mm|deg|um|mmhg)\b"
ARITHMETIC = re.compile(
    rf"(?<![\w$])-{UNIT_NAME}"
    rf"|{UNIT_NAME}\s*(?:[-+*/%]|\*\*)(?![=+-])\s*[\w(]"
    rf"|[\w)]\s*(?:[-+*/%]|\*\*)\s*{UNIT_NAME}"
)
NOT_CODE = re.compile(r"/\*.*?\*/|(?<![:'\"`])//[^\n]*|\"(?:[^\"\\\n]|\\.)*\"|'(?:[^'\\\n]|\\.)*'", re.S)


def long_modules() -> list[str]:
    """Modules over the limit."""
    return [f"{name}: {count} lines, at most {MOST_LINES}"
            for name, text in sources(".py", ".js", ".mjs")
            if (count := text.count("\n")) > MOST_LINES]


def forbidden_marks() -> list[str]:
    """Unfinished work, and addresses that belong to one machine."""
    words = re.compile("|".join(re.escape(word) for word in MARKS + HOSTS))
    return [f"{name}:{number}: '{found[0]}'"
            for name, text in texts()
            for number, line in enumerate(text.splitlines(), 1)
            if (found := words.search(line))]


def function_lengths(text: str) -> Iterator[int]:
    """Lines of each function, its docstring not counted."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            first = node.body[0]
            is_doc = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant)
            doc = (first.end_lineno or 0) - first.lineno + 1 if is_doc else 0
            yield (node.end_lineno or 0) - node.lineno + 1 - doc


def long_functions() -> list[str]:
    """Empty when the median function of the core is short."""
    lengths = [length for name, text in sources(".py") if name.startswith("pycore/")
               for length in function_lengths(text)]
    median = statistics.median(lengths) if lengths else 0
    if median < MOST_MEDIAN_LINES:
        return []
    return [f"the median function has {median:g} lines, under {MOST_MEDIAN_LINES} wanted"]


def code_only(text: str) -> str:
    """JavaScript without comments and quoted strings, lines kept."""
    return NOT_CODE.sub(lambda found: re.sub(r"[^\n]", " ", found[0]), text)


def browser_arithmetic() -> list[str]:
    """Arithmetic on quantities with a unit in their name: that belongs to the core."""
    return [f"{name}:{number}: {found[0].strip()}"
            for name, text in sources(".js") if name.startswith("webapp/")
            for number, line in enumerate(code_only(text).splitlines(), 1)
            if (found := ARITHMETIC.search(line))]
