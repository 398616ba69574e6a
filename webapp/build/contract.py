"""The JavaScript side of the boundary, generated from the core so that it cannot drift."""

from __future__ import annotations

import json
import sys

from .errors import BuildError
from .paths import ROOT
from .process import run


def describe() -> dict[str, object]:
    """What ``python3 -m pycore describe`` prints, run from this checkout."""
    text = run([sys.executable, "-m", "pycore", "describe"], doing="Describing the core",
               cwd=ROOT, quiet=True)
    described: dict[str, object] = json.loads(text)
    missing = {"core_version", "operations", "fields", "axis_points"} - described.keys()
    if missing:
        raise BuildError(f"'pycore describe' lacks {', '.join(sorted(missing))}.")
    return described


def contract_js(described: dict[str, object]) -> str:
    """An ES module with the glossary, the operations and the core's version."""
    parts = {
        "CORE_VERSION": described["core_version"],
        "OPERATIONS": described["operations"],
        "FIELDS": described["fields"],
        "AXIS_POINTS": described["axis_points"],
    }
    lines = ["// Generated from pycore by build.py; never edited.\n"]
    for name, value in parts.items():
        text = json.dumps(value, ensure_ascii=False, indent=1, allow_nan=False)
        lines.append(f"export const {name} = {text};\n")
    return "".join(lines)
