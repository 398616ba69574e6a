"""Checks on what is built: byte for byte reproducible, and no address outside it."""

from __future__ import annotations

import re
from pathlib import Path
from tempfile import TemporaryDirectory

from . import assemble, bytecode, pack
from .fetch import sha256_of

TEXT = {".html", ".js", ".mjs", ".css", ".json", ".svg", ".webmanifest"}
ADDRESS = re.compile(r"(?:https?|wss?):(?:\\?/){2}[^\s\"'`<>)]*")
# Names of XML vocabularies, never fetched.
NAMESPACES = ("http://www.w3.org/2000/svg", "http://www.w3.org/1999/xhtml",
              "http://www.w3.org/1999/xlink", "http://www.w3.org/1998/Math/MathML",
              "http://www.w3.org/2000/xmlns/", "http://www.w3.org/XML/1998/namespace")
# Text inside third-party code that is no fixed address.
KNOWN = {"pyodide/pyodide.asm.mjs": ("https://${t}", "ws://", "wss://")}
COMMENT = re.compile(r"/\*.*?\*/|^\s*//[^\n]*", re.S | re.M)


def foreign_addresses(folder: Path) -> list[str]:
    """Addresses of other origins in the text files, but for comments of third parties."""
    found = []
    for path in sorted(folder.rglob("*")):
        if path.is_file() and path.suffix in TEXT:
            name = path.relative_to(folder).as_posix()
            found += [f"{name}: {address}" for address in _foreign(name, path.read_text("utf-8"))]
    return found


def _foreign(name: str, text: str) -> list[str]:
    if name.startswith("vendor/"):
        text = COMMENT.sub("", text)
    allowed = (*NAMESPACES, *KNOWN.get(name, ()))
    return [address for address in ADDRESS.findall(text) if address not in allowed]


def built_twice() -> list[str]:
    """Compile and assemble everything two times from nothing, and compare every byte."""
    with TemporaryDirectory() as folder:
        archives = [_archive(Path(folder) / turn) for turn in ("first", "second")]
        sums = [{path.relative_to(archive.parents[1] / "dist").as_posix(): sha256_of(path)
                 for path in (archive.parents[1] / "dist").rglob("*") if path.is_file()}
                for archive in archives]
        differing = sorted(name for name in sums[0].keys() | sums[1].keys()
                           if sums[0].get(name) != sums[1].get(name))
        if not differing and sha256_of(archives[0]) != sha256_of(archives[1]):
            differing = ["the archive"]
        foreign = foreign_addresses(Path(folder) / "first" / "dist")
    return [f"{name} differs between two builds" for name in differing] + foreign


def _archive(folder: Path) -> Path:
    folder.mkdir()
    with bytecode.kept_in(folder / "bytecode"):
        return pack.pack(assemble.build(folder / "dist"), folder / "archive")
