"""Everything from outside is pinned by hash, and no address of a registry is kept."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from webapp.build import wheels
from webapp.build.npm import NODE_REQUIREMENTS
from webapp.build.paths import WEBAPP
from webapp.build.venv import TEST_REQUIREMENTS

LOCK = json.loads((WEBAPP / "package-lock.json").read_text())
PACKAGES = {name: entry for name, entry in LOCK["packages"].items() if name}


def test_every_javascript_package_has_an_integrity_hash() -> None:
    assert len(PACKAGES) > 5
    assert [name for name, entry in PACKAGES.items() if not entry["integrity"].startswith("sha512-")] == []


def test_no_javascript_package_has_an_address() -> None:
    assert [name for name, entry in PACKAGES.items() if "resolved" in entry] == []


def test_direct_packages_are_pinned_exactly() -> None:
    declared = json.loads((WEBAPP / "package.json").read_text())
    for group in ("dependencies", "devDependencies"):
        for name, version in declared[group].items():
            assert re.fullmatch(r"\d+\.\d+\.\d+", version), name
            assert PACKAGES[f"node_modules/{name}"]["version"] == version


@pytest.mark.parametrize("path", [TEST_REQUIREMENTS, NODE_REQUIREMENTS], ids=lambda path: path.name)
def test_every_python_package_has_a_version_and_hashes(path: Path) -> None:
    text = re.sub(r"\\\n\s*", " ", path.read_text())
    entries = [line for line in text.splitlines() if line and not line.lstrip().startswith("#")]
    assert entries
    pinned = re.compile(r"[\w.-]+==\S+\s+(--hash=sha256:[0-9a-f]{64}\s*)+")
    assert [line for line in entries if not pinned.fullmatch(line)] == []


def test_the_trust_anchor_is_the_pinned_pyodide() -> None:
    assert LOCK["packages"]["node_modules/pyodide"]["version"] == "314.0.4"
    assert wheels.locked("numpy")["version"] == "2.4.3"
    assert str(wheels.locked("numpy")["sha256"]).startswith("0cad9c1b")


def test_the_release_address_comes_from_the_pinned_package() -> None:
    assert wheels._base().endswith("/v314.0.4/full/")
