"""Everything that is served, put together in one folder.

The build id is the hash of all that goes in, so equal sources have equal ids, and any
change of a byte makes another build.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from . import bytecode, libraries, licences, npm, numbers, vendor
from .contract import contract_js, describe
from .errors import BuildError
from .paths import CORE, DIST, WEBAPP
from .policy import policy
from .progress import say
from .wheels import locked, pyodide_folder, wheel

# Web sources that are served as they are written.
FOLDERS = ("words", "views", "elements", "charts", "store", "worker", "styles", "icons", "licences")
SINGLE_FILES = ("begin.js", "main.js", "manifest.webmanifest")
SERVED_SUFFIXES = {".js", ".css", ".svg", ".png", ".json", ".woff2", ".webmanifest", ".txt"}
PYODIDE_FILES = ("pyodide.asm.mjs", "pyodide.asm.wasm")
# Not listed in precache.json: the list itself and the worker that reads it.
UNLISTED = {"sw.js", "precache.json"}
BUILD_ID_LENGTH = 16
LAST = ("pyodide/micropip-", "wheels/")


@dataclass(frozen=True)
class Built:
    """A finished folder and the id of what is in it."""

    folder: Path
    build_id: str


def build(target: Path = DIST) -> Built:
    """Install, compile and assemble; the old folder is replaced at the end in one step."""
    npm.install()
    files = _inputs()
    core = core_sources()
    templates = {name: (WEBAPP / name).read_text(encoding="utf-8")
                 for name in ("index.html", "sw.js")}
    build_id = _identity(files, core, templates)
    files["core/pycore.zip"] = bytecode.core(with_build_id(core, build_id)).read_bytes()
    files["index.html"] = index_html(templates["index.html"], build_id)
    files["precache.json"] = precache(files)
    files["sw.js"] = service_worker(templates["sw.js"], build_id, files["precache.json"])
    _write(files, target)
    say(f"built {build_id}: {len(files)} files, {sum(map(len, files.values())) / 1e6:.1f} MB")
    return Built(target, build_id)


def _inputs() -> dict[str, bytes]:
    files = {"contract.js": contract_js(describe()).encode("utf-8")}
    files.update(_web_sources())
    files.update({name: path.read_bytes() for name, path in vendor.files()})
    files.update(licences.files())
    files["libraries.json"] = libraries.libraries_json()
    files["numbers.json"] = numbers.numbers_json(numbers.CHANGELOG.read_text(encoding="utf-8"))
    files.update(_runtime())
    return files


def _web_sources() -> dict[str, bytes]:
    files = {name: (WEBAPP / name).read_bytes() for name in SINGLE_FILES}
    for folder in FOLDERS:
        for path in sorted((WEBAPP / folder).rglob("*")):
            if path.is_file() and path.suffix in SERVED_SUFFIXES:
                files[path.relative_to(WEBAPP).as_posix()] = path.read_bytes()
    return files


def _runtime() -> dict[str, bytes]:
    """Pyodide, its standard library, numpy, what reads DICOM, and a lock file that names only these."""
    source = pyodide_folder()
    files = {f"pyodide/{name}": (source / name).read_bytes() for name in PYODIDE_FILES}
    files["pyodide/pyodide.mjs"] = without_release_address((source / "pyodide.mjs").read_text())
    files["pyodide/python_stdlib.zip"] = bytecode.stdlib().read_bytes()
    # micropip is small and served as published; its lock entry holds.
    packages = [bytecode.numpy(), (wheel("micropip"), locked("micropip"))]
    files.update({f"pyodide/{entry['file_name']}": path.read_bytes() for path, entry in packages})
    files["pyodide/pyodide-lock.json"] = _lock_with([entry for _, entry in packages])
    pydicom, name = bytecode.pydicom()
    files[f"wheels/{name}"] = pydicom.read_bytes()
    return files


def without_release_address(text: str) -> bytes:
    """pyodide.mjs without its built-in download address: the app never leaves its origin."""
    start, end = text.find("`https://"), text.find("/full/`")
    if start < 0 or end < start:
        raise BuildError("pyodide.mjs has another form than the pinned release: check the pin.")
    changed = text[:start] + '"./"' + text[end + len("/full/`"):]
    return changed.encode("utf-8")


def _lock_with(entries: Sequence[Mapping[str, object]]) -> bytes:
    own = json.loads((pyodide_folder() / "pyodide-lock.json").read_text(encoding="utf-8"))
    small = {"info": own["info"], "packages": {str(entry["name"]): entry for entry in entries}}
    return json.dumps(small, indent=1, sort_keys=True).encode("utf-8")


def core_sources() -> dict[str, bytes]:
    """Our own package, by name inside its archive."""
    return {
        path.relative_to(CORE.parent).as_posix(): path.read_bytes()
        for path in sorted(CORE.rglob("*.py"))
        if "__pycache__" not in path.parts and path.name != "_build.py"
    }


def with_build_id(core: Mapping[str, bytes], build_id: str) -> dict[str, bytes]:
    """The sources and the module that tells the core which build it is."""
    return {**core, "pycore/_build.py": f'BUILD_ID = "{build_id}"\n'.encode()}


def _identity(*groups: Mapping[str, bytes | str]) -> str:
    digest = hashlib.sha256(policy().encode())
    for group in groups:
        for name, data in sorted(group.items()):
            raw = data.encode("utf-8") if isinstance(data, str) else data
            digest.update(f"{name}\0{len(raw)}\0".encode() + raw)
    return digest.hexdigest()[:BUILD_ID_LENGTH]


def index_html(template: str, build_id: str) -> bytes:
    """The page with its policy, build id and import map."""
    head = (
        f'<meta http-equiv="Content-Security-Policy" content="{policy()}">\n'
        f'    <meta name="guyline-build" content="{build_id}">\n'
        f'    <script type="importmap">{vendor.import_map_text()}</script>'
    )
    return _filled(template, {"<!-- build:head -->": head}, "index.html").encode("utf-8")


def precache(files: Mapping[str, bytes]) -> bytes:
    """Every file of the app: [path, sha256, bytes]; what only a DICOM file needs comes last."""
    order = sorted(files.items(), key=lambda pair: (pair[0].startswith(LAST), pair[0]))
    rows = [[name, hashlib.sha256(data).hexdigest(), len(data)]
            for name, data in order if name not in UNLISTED]
    return json.dumps(rows, indent=0).encode("utf-8")


def service_worker(template: str, build_id: str, precache_json: bytes) -> bytes:
    """The service worker of exactly this build: another list of files is another worker."""
    values = {
        'const BUILD = "source";': f"const BUILD = {json.dumps(build_id)};",
        'const LIST_SHA256 = "";':
            f"const LIST_SHA256 = {json.dumps(hashlib.sha256(precache_json).hexdigest())};",
        'const POLICY = "";': f"const POLICY = {json.dumps(policy())};",
    }
    return _filled(template, values, "sw.js").encode("utf-8")


def _filled(template: str, values: Mapping[str, str], name: str) -> str:
    for mark, text in values.items():
        if template.count(mark) != 1:
            raise BuildError(f"webapp/{name} must hold the text {mark!r} exactly once.")
        template = template.replace(mark, text)
    return template


def _write(files: Mapping[str, bytes], target: Path) -> None:
    """Write beside the target, then swap, so that a failed build leaves the old one whole."""
    fresh = target.with_name(f"{target.name}.{uuid4().hex[:8]}.new")
    try:
        for name, data in files.items():
            path = fresh / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        old = target.with_name(f"{target.name}.{uuid4().hex[:8]}.old")
        if target.exists():
            target.rename(old)
        fresh.rename(target)
        shutil.rmtree(old, ignore_errors=True)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
