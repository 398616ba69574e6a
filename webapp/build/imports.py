"""Who imports whom in the core, and the rules that keep it one direction."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from .paths import CORE

CALCULATIONS = ("optics", "formulas", "fixation", "belief", "planning", "audit")
# The only modules that may use numpy; nothing the first answer needs imports them early.
NUMPY_MODULES = ("pycore.optics.trace", "pycore.audit.bootstrap", "pycore.planning.simulation")
# The only modules that may use pydicom, when a file comes; a worker of its own has it.
DICOM_MODULES = ("pycore.exchange.dicom_file",)
# Nothing in the core reaches out of the process.
OUTWARD = ("socket", "ssl", "http", "urllib", "ftplib", "smtplib", "subprocess", "asyncio",
           "threading", "multiprocessing", "webbrowser", "js", "pyodide", "micropip")


@dataclass(frozen=True)
class Import:
    """One import statement, resolved to a full module name."""

    importer: str
    imported: str
    line: int

    def __str__(self) -> str:
        return f"{self.importer}:{self.line} imports {self.imported}"


def module_name(path: Path) -> str:
    """Dotted name of a file of the core."""
    parts = path.relative_to(CORE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports_of(path: Path) -> Iterator[Import]:
    """Every import in a file, at the top or inside a function."""
    importer = module_name(path)
    package = importer if path.name == "__init__.py" else importer.rpartition(".")[0]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        for name in _names(node, package):
            yield Import(importer, name, getattr(node, "lineno", 0))


def _names(node: ast.AST, package: str) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            above = package.split(".")[: len(package.split(".")) - node.level + 1]
            base = ".".join([*above, base] if base else above)
        yield from (f"{base}.{alias.name}" for alias in node.names)


def graph() -> list[Import]:
    """All imports of the core."""
    return [one for path in sorted(CORE.rglob("*.py")) for one in imports_of(path)]


def _within(name: str, package: str) -> bool:
    return name == package or name.startswith(package + ".")


def violations(found: list[Import] | None = None) -> list[str]:
    """Imports that break a rule, each with the rule."""
    edges = graph() if found is None else found
    return [f"{edge}: {rule}" for edge in edges for rule in _broken(edge)]


def _broken(edge: Import) -> Iterator[str]:
    top = edge.imported.split(".")[0]
    calculating = any(_within(edge.importer, f"pycore.{part}") for part in CALCULATIONS)
    storing = ("pycore.records", "pycore.exchange")
    if calculating and any(_within(edge.imported, part) for part in storing):
        yield "a calculation never sees a record"
    if _within(edge.imported, "pycore.api") and not _may_use_api(edge.importer):
        yield "nothing imports the door"
    if top == "numpy" and edge.importer not in NUMPY_MODULES:
        yield "numpy only where the first answer does not need it"
    if top == "pydicom" and edge.importer not in DICOM_MODULES:
        yield "pydicom only where a file is read"
    if top in OUTWARD:
        yield "the core never reaches out"
    if top not in {"pycore", "numpy", "pydicom", "__future__"} and top not in sys.stdlib_module_names:
        yield "the core has no dependencies"


def _may_use_api(importer: str) -> bool:
    return _within(importer, "pycore.api") or importer == "pycore.__main__"
