"""Licence texts of what other works carry inside them, one file for each carrier.

A package's own LICENSE is copied beside it (:mod:`vendor`). A library published as one file
holds other packages too; numpy's wheel holds several. Equal texts are written once, under the
names of all packages they belong to.
"""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator
from pathlib import Path

from .paths import NODE_MODULES
from .vendor import PUBLISHED_FILES
from .wheels import pydicom_wheel, wheel

PARTS = "LICENSE-PARTS"
RULE = "=" * 72
# Needed by a package's command line only, not by the file that is served.
COMMAND_LINE = {"commander", "iconv-lite", "rw"}


def files() -> dict[str, bytes]:
    """Texts by their path in dist."""
    made = {f"vendor/{package}/{PARTS}": _joined(_inside(package)) for package in PUBLISHED_FILES}
    wheels = {"numpy": wheel("numpy"), "micropip": wheel("micropip"), "pydicom": pydicom_wheel()}
    return made | {f"licences/{name}.txt": _joined(_in_wheel(path)) for name, path in wheels.items()}


def _joined(texts: dict[str, str]) -> bytes:
    owners: dict[str, list[str]] = {}
    for name, text in sorted(texts.items()):
        owners.setdefault(text.strip(), []).append(name)
    parts = [f"{', '.join(names)}\n\n{text}\n" for text, names in owners.items()]
    return f"\n{RULE}\n\n".join(parts).encode("utf-8")


def _inside(package: str) -> dict[str, str]:
    """Licences of every package that ``package`` depends on, but those served by themselves."""
    return {name: _text(name) for name in dependencies(package)}


def dependencies(package: str) -> Iterator[str]:
    described = json.loads((NODE_MODULES / package / "package.json").read_text(encoding="utf-8"))
    for name in sorted(described.get("dependencies", {}).keys() - COMMAND_LINE - set(PUBLISHED_FILES)):
        yield name
        yield from dependencies(name)


def _text(package: str) -> str:
    found = sorted(path for path in (NODE_MODULES / package).iterdir()
                   if path.name.upper().startswith(("LICENSE", "LICENCE")))
    return "\n".join(path.read_text(encoding="utf-8") for path in found)


def _in_wheel(path: Path) -> dict[str, str]:
    """Its own licences and those of what it carries inside."""
    with zipfile.ZipFile(path) as archive:
        return {name.rpartition("licenses/")[2]: archive.read(name).decode("utf-8", "replace")
                for name in sorted(archive.namelist())
                if ".dist-info/licenses/" in name or Path(name).name.startswith("LICENSE")}
