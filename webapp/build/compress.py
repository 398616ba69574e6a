"""Files packed beforehand, beside the plain ones, for hosts that send them as they are.

``name.br`` and ``name.gz`` hold the bytes of ``name``; a host that finds them answers with the
packed bytes and their encoding. The app's own list of files names the plain ones only: the
browser unpacks, and what it unpacks is checked.
"""

from __future__ import annotations

import gzip
import json
import subprocess
from pathlib import Path

from . import npm
from .errors import BuildError
from .progress import say

#: By the name a browser asks for, best first.
SUFFIXES = {"br": ".br", "gzip": ".gz"}
#: Packing that saves less than this is left undone.
LEAST_SAVED = 0.03
_BROTLI = """const zlib = require("zlib"), fs = require("fs");
for (const [from, to] of JSON.parse(fs.readFileSync(0, "utf8"))) {
  const bytes = fs.readFileSync(from);
  fs.writeFileSync(to, zlib.brotliCompressSync(bytes, { params: {
    [zlib.constants.BROTLI_PARAM_QUALITY]: 11, [zlib.constants.BROTLI_PARAM_SIZE_HINT]: bytes.length } }));
}"""


def beside(folder: Path) -> int:
    """Write the packed files of a finished build; returns how many are worth keeping."""
    plain = [path for path in sorted(folder.rglob("*"))
             if path.is_file() and path.suffix not in SUFFIXES.values()]
    for path in plain:
        _with(path, ".gz").write_bytes(gzip.compress(path.read_bytes(), 9, mtime=0))
    _brotli([(str(path), str(_with(path, ".br"))) for path in plain])
    kept = sum(_kept(path, _with(path, suffix)) for path in plain for suffix in SUFFIXES.values())
    say(f"packed {kept} files beside the {len(plain)} plain ones")
    return kept


def _with(path: Path, suffix: str) -> Path:
    return path.with_name(path.name + suffix)


def _kept(plain: Path, packed: Path) -> bool:
    if packed.stat().st_size <= plain.stat().st_size * (1 - LEAST_SAVED):
        return True
    packed.unlink()
    return False


def _brotli(pairs: list[tuple[str, str]]) -> None:
    """Node.js has Brotli built in; Python's library has not."""
    command = [str(npm.node()), "-e", _BROTLI]
    done = subprocess.run(command, input=json.dumps(pairs), text=True, capture_output=True)
    if done.returncode != 0:
        raise BuildError(f"Packing with Brotli failed: {done.stderr.strip().splitlines()[-1:]}")


def accepted(header: str, path: Path) -> tuple[str, Path] | None:
    """(encoding, file) of the best packed form that exists and the browser takes."""
    offers = (part.strip().partition(";") for part in header.split(","))
    words = {name.strip() for name, _, weight in offers if weight.replace(" ", "") not in ("q=0", "q=0.0")}
    for encoding, suffix in SUFFIXES.items():
        if encoding in words and _with(path, suffix).is_file():
            return encoding, _with(path, suffix)
    return None
