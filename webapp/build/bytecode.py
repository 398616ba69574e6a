"""Precompiled Python for the browser: the standard library, our own core, numpy and what reads DICOM.

Each archive is compiled in a fresh Pyodide under Node and kept in the cache under the
hash of everything it depends on.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from tempfile import TemporaryDirectory

from . import npm
from .fetch import sha256_of
from .paths import CACHE
from .process import run
from .progress import say
from .wheels import PYDICOM_FILE, locked, pydicom_wheel, pyodide_folder, wheel

HERE = Path(__file__).parent
_FOLDER = ContextVar("folder", default=CACHE / "bytecode")
SCRIPT = HERE / "compile_zip.py"
RUNNER = HERE / "compile.mjs"

# Parts of the standard library for development, servers, mail and other systems, and the
# Python twins of modules that are there in C: nothing that runs on the phone imports them.
STDLIB_DROP = [
    f"{name}{kind}"
    for name in (
        "_pydatetime", "_pyio", "_pyrepl", "antigravity", "bdb", "cProfile", "cmd", "colorsys", "compileall",
        "configparser", "curses", "dbm", "doctest", "ensurepip", "filecmp", "fileinput",
        "ftplib", "idlelib", "imaplib", "lib2to3", "mailbox", "modulefinder", "multiprocessing",
        "netrc", "nturl2path", "optparse", "pdb", "pickletools", "plistlib", "poplib", "profile", "profiling",
        "pstats", "pty", "pyclbr", "pydoc", "pydoc_data", "rlcompleter", "sched", "shelve", "smtplib",
        "socketserver", "sqlite3", "symtable", "tabnanny", "test", "this", "timeit", "tkinter", "tomllib",
        "trace", "turtle", "turtledemo", "unittest", "venv", "wave", "webbrowser", "wsgiref", "xml", "xmlrpc",
        "zipapp",
    )
    for kind in (".py", "/*")
] + [
    "http/server.py", "http/cookiejar.py",
    # Old national encodings; files are UTF-8, UTF-16 from spreadsheets, or western European.
    *(f"encodings/{name}*.py" for name in (
        "big5", "cp0", "cp10", "cp11", "cp125[013-8]", "cp7", "cp8[56]", "cp9", "euc", "gb", "hp", "hz",
        "iso2022", "iso8859_1[0-46]", "iso8859_[2-9]", "johab", "koi8", "kz", "mac_", "ptcp", "shift",
        "tis",
    )),
]
# Tests, stubs, C headers and the Fortran wrapper.
NUMPY_DROP = [
    "*.pyi", "*.pxd", "*.h", "*.c", "*.a", "*.ini", "*.f90", "*.f", "*/tests/*", "numpy/f2py/*",
    "numpy/conftest.py", "numpy/_pyinstaller/*", "numpy/distutils/*", "*/py.typed",
    "*/_examples/*", "*/lib/npymath*", "*.dist-info/entry_points.txt",
]
# Examples and where to download them, images, reports, writing of file sets, the command line.
PYDICOM_DROP = [
    "*/py.typed", "*.dist-info/entry_points.txt", "pydicom/cli/*", "pydicom/data/*_files/*",
    "pydicom/data/palettes/*", "pydicom/data/*.json", "pydicom/dicomio.py", "pydicom/encoders/*",
    "pydicom/env_info.py", "pydicom/fileset.py", "pydicom/overlays/*", "pydicom/sr/*",
    "pydicom/util/codify.py", "pydicom/util/dump.py", "pydicom/util/fixer.py", "pydicom/util/leanread.py",
]
# It looks for its example files when it is imported, and would look for them on the network.
PYDICOM_EMPTY = ["pydicom/examples/__init__.py"]


@contextmanager
def kept_in(folder: Path) -> Iterator[None]:
    """Keep compiled archives in another folder, to compile everything anew."""
    token = _FOLDER.set(folder)
    try:
        yield
    finally:
        _FOLDER.reset(token)


def stdlib() -> Path:
    """The standard library as .pyc."""
    source = pyodide_folder() / "python_stdlib.zip"
    return _cached("stdlib", source, {"drop": STDLIB_DROP, "prefix": "python/", "optimize": 2})


def numpy() -> tuple[Path, dict[str, object]]:
    """numpy slimmed and as .pyc, with its lock entry (new sha256, same name)."""
    entry = dict(locked("numpy"))
    record = f"numpy-{entry['version']}.dist-info/RECORD"
    path = _cached("numpy", wheel("numpy"), {"drop": NUMPY_DROP, "record": record, "optimize": 2})
    entry["sha256"] = sha256_of(path)
    entry["unvendored_tests"] = False
    return path, entry


def pydicom() -> tuple[Path, str]:
    """pydicom trimmed and as .pyc, and the name of its wheel."""
    record = f"{PYDICOM_FILE.removesuffix('-py3-none-any.whl')}.dist-info/RECORD"
    options = {"drop": PYDICOM_DROP, "empty": PYDICOM_EMPTY, "record": record, "optimize": 2}
    return _cached("pydicom", pydicom_wheel(), options), PYDICOM_FILE


def core(tree: Mapping[str, bytes]) -> Path:
    """Our own package as .pyc without docstrings; ``tree`` maps archive names to sources."""
    digest = hashlib.sha256()
    for name, data in sorted(tree.items()):
        digest.update(f"{name}\0{len(data)}\0".encode() + data)
    options = {"optimize": 2}
    key = _key("core", digest.hexdigest(), options)
    kept = _FOLDER.get() / f"core-{key}.zip"
    if not kept.exists():
        with TemporaryDirectory() as folder:
            _write_tree(Path(folder) / "tree", tree)
            _compile("core", Path(folder), options, kept)
        _forget_old("core", kept)
    return kept


def _write_tree(target: Path, tree: Mapping[str, bytes]) -> None:
    for name, data in tree.items():
        path = target / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def _cached(name: str, source: Path, options: Mapping[str, object]) -> Path:
    key = _key(name, sha256_of(source), options)
    kept = _FOLDER.get() / f"{name}-{key}.zip"
    if not kept.exists():
        with TemporaryDirectory() as folder:
            shutil.copyfile(source, Path(folder) / "source.zip")
            _compile(name, Path(folder), options, kept)
        _forget_old(name, kept)
    return kept


def _key(name: str, content: str, options: Mapping[str, object]) -> str:
    """Everything the archive depends on, as one short hash."""
    parts = [name, content, json.dumps(options, sort_keys=True), sha256_of(SCRIPT),
             sha256_of(RUNNER), sha256_of(pyodide_folder() / "pyodide.asm.wasm")]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:20]


def _compile(name: str, folder: Path, options: Mapping[str, object], kept: Path) -> None:
    say(f"compiling {name} to bytecode")
    with TemporaryDirectory() as output:
        run([npm.node(), RUNNER, pyodide_folder(), SCRIPT, folder, output, json.dumps(options)],
            doing=f"Compiling {name}", quiet=True)
        kept.parent.mkdir(parents=True, exist_ok=True)
        partial = kept.with_suffix(f".{Path(output).name}.part")
        shutil.copyfile(Path(output) / "compiled.zip", partial)
        partial.replace(kept)


def _forget_old(name: str, newest: Path, keep: int = 6) -> None:
    """Keep the cache small: only the newest archives of a kind."""
    old = sorted(newest.parent.glob(f"{name}-*.zip"), key=lambda path: -path.stat().st_mtime)
    for path in old[keep:]:
        path.unlink(missing_ok=True)
