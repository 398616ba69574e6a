"""The list of open-source works inside the app, made from the packages' own files.

Names, versions, licences and hashes come from ``package-lock.json``, each package's
``package.json``, Pyodide's lock file and the wheels' metadata. Only titles are written by
hand, and what is compiled into Python, which names itself nowhere. A package without an
entry stops the build, so the list cannot fall behind.
"""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterable, Iterator
from email.parser import HeaderParser

from .errors import BuildError
from .fetch import sha256_of
from .licences import PARTS, dependencies
from .paths import NODE_MODULES, WEBAPP
from .vendor import ENTRIES, PUBLISHED_FILES
from .wheels import lock, pydicom_wheel, wheel

Entry = dict[str, object]

#: How each work calls itself; what it does here is said in webapp/views/setup/libraries-view.js.
TITLES = {
    "pyodide": "Pyodide", "numpy": "NumPy", "lit": "Lit", "idb": "idb",
    "@observablehq/plot": "Observable Plot", "d3": "D3", "pydicom": "pydicom", "micropip": "micropip",
}
#: Wheels that are served beside Pyodide.
WHEELS = ("numpy", "pydicom", "micropip")
#: Package that is served -> the one it is a part of.
PART_OF = {"lit-html": "lit", "lit-element": "lit", "@lit/reactive-element": "lit"}
#: Compiled into Python (its module that shows it), with their licences.
INSIDE_PYTHON = {
    "zlib": ("zlib", "Zlib"), "_bz2": ("bzip2", "bzip2-1.0.6"), "_lzma": ("XZ Utils", "0BSD"),
    "_zstd": ("Zstandard", "BSD-3-Clause"), "_sqlite3": ("SQLite", "public domain"),
    "_ctypes": ("libffi", "MIT"), "pyexpat": ("Expat", "MIT"), "_decimal": ("mpdecimal", "BSD-2-Clause"),
    "_sha2": ("HACL*", "MIT"), "posix": ("musl", "MIT"),
}


def libraries_json(wheels: Iterable[str] = WHEELS) -> bytes:
    """``[{"name", "version", "licence", "hash", "text", "parts"}, ...]``."""
    entries = [*_python(), *(_wheel(name) for name in wheels), *(_package(name) for name in _packages())]
    return json.dumps(entries, indent=1, ensure_ascii=False).encode("utf-8")


def _packages() -> list[str]:
    served = {*ENTRIES, *PUBLISHED_FILES} - set(PART_OF)
    unknown = served - set(TITLES)
    if unknown:
        raise BuildError(f"Name {', '.join(sorted(unknown))} in libraries.py, and what it does in "
                         "libraries-view.js.")
    return sorted(served, key=list(TITLES).index)


def _package(name: str) -> Entry:
    carried = [part for part, whole in PART_OF.items() if whole == name]
    inside = sorted(set(dependencies(name))) if name in PUBLISHED_FILES else carried
    text = f"vendor/{name}/LICENSE"
    more = {"parts_text": f"vendor/{name}/{PARTS}"} if name in PUBLISHED_FILES else {}
    parts = [_pinned(part) for part in inside]
    return {**_pinned(name), "name": TITLES[name], "text": text, "parts": parts, **more}


def _pinned(name: str) -> Entry:
    described = json.loads((NODE_MODULES / name / "package.json").read_text(encoding="utf-8"))
    return {"name": name, "version": described["version"], "licence": described["license"],
            "hash": _locked_packages()[f"node_modules/{name}"]["integrity"]}


def _locked_packages() -> dict[str, dict[str, str]]:
    text = (WEBAPP / "package-lock.json").read_text(encoding="utf-8")
    found: dict[str, dict[str, str]] = json.loads(text)["packages"]
    return found


def _python() -> Iterator[Entry]:
    pinned, info = _pinned("pyodide"), lock()["info"]
    yield {**pinned, "name": TITLES["pyodide"], "text": "licences/MPL-2.0.txt", "parts": []}
    same = {"hash": pinned["hash"]}
    compiled = [{"name": name, "version": "", "licence": licence, **same}
                for name, licence in INSIDE_PYTHON.values()]
    yield {"name": "CPython", "version": info["python"], "licence": "PSF-2.0", **same,
           "text": "licences/PSF-2.0.txt", "parts": compiled, "parts_text": "licences/inside-python.txt"}
    version = str(info["platform"]).removeprefix("emscripten_").replace("_", ".")
    yield {"name": "Emscripten", "version": version, "licence": "MIT", **same,
           "text": "licences/emscripten.txt", "parts": []}


def _wheel(name: str) -> Entry:
    path = pydicom_wheel() if name == "pydicom" else wheel(name)
    with zipfile.ZipFile(path) as archive:
        metadata = next(one for one in archive.namelist() if one.endswith(".dist-info/METADATA"))
        head = HeaderParser().parsestr(archive.read(metadata).decode("utf-8"))
    classes = [one.rpartition(" :: ")[2] for one in head.get_all("Classifier", [])
               if one.startswith("License")]
    licence = head["License-Expression"] or ", ".join(classes) or head["License"].strip().partition("\n")[0]
    return {"name": TITLES[name], "version": head["Version"], "licence": licence,
            "hash": f"sha256-{sha256_of(path)}", "text": f"licences/{name}.txt", "parts": []}
