"""The list of works inside the app: complete, from the packages' own files, each with its licence."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from webapp.build import libraries, vendor, wheels
from webapp.build.errors import BuildError
from webapp.build.licences import COMMAND_LINE
from webapp.build.paths import WEBAPP

LOCK = json.loads((WEBAPP / "package-lock.json").read_text())["packages"]
#: Types, programs of the command line and what only Node.js needs: never served.
NOT_SERVED = {"@lit-labs/ssr-dom-shim", "ws", "safer-buffer"} | COMMAND_LINE


@pytest.fixture
def listed(dist: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads((dist / "libraries.json").read_text())
    return found


def _needed(name: str) -> set[str]:
    """A package of the lock file and everything it depends on."""
    below = LOCK[f"node_modules/{name}"].get("dependencies", {}) if name else LOCK[""]["dependencies"]
    return {name} - {""} | {one for part in below for one in _needed(part)}


def test_every_package_that_the_app_depends_on_is_listed_with_the_hash_of_the_lock_file(
    listed: list[dict[str, Any]]
) -> None:
    hashes = {part["hash"] for entry in listed for part in [entry, *entry["parts"]]}
    wanted = {name for name in _needed("") if not name.startswith("@types/")} - NOT_SERVED
    assert len(wanted) > 40
    assert [name for name in sorted(wanted) if LOCK[f"node_modules/{name}"]["integrity"] not in hashes] == []


def test_every_folder_that_is_served_belongs_to_a_listed_package(dist: Path, listed: list[dict[str, Any]]) -> None:
    served = {path.parent.relative_to(dist / "vendor").as_posix() for path in (dist / "vendor").rglob("LICENSE")}
    assert served == {*vendor.ENTRIES, *vendor.PUBLISHED_FILES}
    by_hash = {part["hash"] for entry in listed for part in [entry, *entry["parts"]]}
    assert {LOCK[f"node_modules/{name}"]["integrity"] for name in served} <= by_hash


def test_pyodide_python_and_the_wheels_are_listed_as_their_own_files_say(
    dist: Path, listed: list[dict[str, Any]]
) -> None:
    by_name = {entry["name"]: entry for entry in listed}
    info = wheels.lock()["info"]
    assert by_name["CPython"]["version"] == info["python"]
    assert by_name["Emscripten"]["version"].replace(".", "_") in str(info["platform"])
    assert by_name["Pyodide"]["version"] == LOCK["node_modules/pyodide"]["version"]
    served = json.loads((dist / "pyodide/pyodide-lock.json").read_text())["packages"]
    assert set(served) | {"pydicom"} == set(libraries.WHEELS)
    for name in served:
        entry = by_name[libraries.TITLES[name]]
        assert entry["hash"] == f"sha256-{wheels.locked(name)['sha256']}"
        assert entry["version"] == wheels.locked(name)["version"]


def test_what_is_compiled_into_python_is_named(dist: Path) -> None:
    """The modules that show it are in the very file that is served."""
    binary = (dist / "pyodide/pyodide.asm.wasm").read_bytes()
    modules = {found.decode() for found in re.findall(rb"PyInit_(\w+)", binary)}
    assert set(libraries.INSIDE_PYTHON) <= modules
    others = {"_ssl", "_hashlib", "_curses", "readline", "_tkinter", "_gdbm", "_dbm", "_uuid"}
    assert not others & modules, "another library is inside: name it"
    text = (dist / "licences/inside-python.txt").read_text()
    assert all(name in text for name, _ in libraries.INSIDE_PYTHON.values())


def test_every_licence_text_is_among_the_files(dist: Path, listed: list[dict[str, Any]]) -> None:
    for entry in listed:
        assert entry["version"] and entry["licence"], entry
        view = (dist / "views/setup/libraries-view.js").read_text()
        assert re.search(rf'^  "?{entry["name"]}"?: t\.', view, re.M), f"say what {entry['name']} does"
        for path in filter(None, [entry["text"], entry.get("parts_text")]):
            text = (dist / path).read_text()
            assert len(text) > 500, path
            assert re.search(r"licen[sc]e|permission", text, re.I), path
    modules = (dist / "vendor/d3/LICENSE-PARTS").read_text()
    parts = next(entry for entry in listed if entry["name"] == "D3")["parts"]
    assert [part["name"] for part in parts if part["name"] not in modules] == []


def test_a_package_nobody_described_stops_the_build(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(vendor.ENTRIES, "stranger", "index.js")
    with pytest.raises(BuildError, match=r"Name stranger in libraries\.py"):
        libraries.libraries_json()
