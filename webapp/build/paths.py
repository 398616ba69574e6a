"""Where everything lies: the repository, what is built, and what is cached."""

from __future__ import annotations

import os
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
WEBAPP = ROOT / "webapp"
CORE = ROOT / "pycore"
TESTS = ROOT / "tests"
NODE_MODULES = WEBAPP / "node_modules"
VENV = ROOT / ".venv"
CACHE = ROOT / ".cache"
DIST = ROOT / "dist"
ARCHIVES = ROOT / "dist-zip"


def user_cache() -> Path:
    """Cache shared by all clones of one user, so that a fresh clone downloads nothing twice."""
    named = os.environ.get("GUYLINE_CACHE")
    if named:
        return Path(named)
    base = os.environ.get("XDG_CACHE_HOME")
    return (Path(base) if base else Path.home() / ".cache") / "guyline"


def download_caches() -> list[Path]:
    """Folders searched for a download, nearest first; new files go into every writable one."""
    return [CACHE / "downloads", user_cache() / "downloads"]


def venv_program(name: str, venv: Path = VENV) -> Path:
    """Path of a program inside a virtual environment on this system."""
    folder, suffix = ("Scripts", ".exe") if os.name == "nt" else ("bin", "")
    return venv / folder / f"{name}{suffix}"
