"""Third-party ES modules, copied unchanged, and the import map that finds them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

from .paths import NODE_MODULES

# Package -> its entry module. Only these packages reach the browser.
ENTRIES = {
    "lit": "index.js",
    "lit-html": "lit-html.js",
    "lit-element": "index.js",
    "@lit/reactive-element": "reactive-element.js",
    "idb": "build/index.js",
}
# Packages taken as the one file that they publish, loaded by its path where it is needed: as
# modules they would be seven hundred files to fetch and check on the first start.
PUBLISHED_FILES = {"d3": "d3.min.js", "@observablehq/plot": "plot.umd.min.js"}
# Parts of the packages for development, servers and old browsers.
SKIPPED_FOLDERS = {"development", "node", "node_modules"}
SKIPPED_NAMES = {"polyfill-support.js", "private-ssr-support.js", "umd.js", "wrap-idb-value.js"}


def import_map() -> dict[str, dict[str, str]]:
    """Bare names and their sub-paths, relative to index.html."""
    imports = {}
    for package, entry in ENTRIES.items():
        imports[package] = f"./vendor/{package}/{entry}"
        imports[f"{package}/"] = f"./vendor/{package}/"
    return {"imports": imports}


def import_map_text() -> str:
    """The exact text between the script tags; the policy allows it by its hash."""
    return json.dumps(import_map(), separators=(",", ":"), sort_keys=True)


def files() -> Iterator[tuple[str, Path]]:
    """Yield (path in dist, file) for modules and licences."""
    for package, name in PUBLISHED_FILES.items():
        yield f"vendor/{package}/{name}", NODE_MODULES / package / "dist" / name
        yield f"vendor/{package}/LICENSE", NODE_MODULES / package / "LICENSE"
    for package in ENTRIES:
        folder = NODE_MODULES / package
        for path in sorted(folder.rglob("*")):
            if path.is_file() and _wanted(path.relative_to(folder)):
                yield f"vendor/{package}/{path.relative_to(folder).as_posix()}", path


def _wanted(path: Path) -> bool:
    if set(path.parts[:-1]) & SKIPPED_FOLDERS or path.name in SKIPPED_NAMES:
        return False
    return path.suffix == ".js" or path.name.upper().startswith("LICENSE")
