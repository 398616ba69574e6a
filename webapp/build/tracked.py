"""The files of the repository: tracked, or new and not ignored."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path

from .paths import ROOT

TEXT_SUFFIXES = {".py", ".js", ".mjs", ".ts", ".css", ".html", ".md", ".toml", ".json",
                 ".webmanifest", ".txt", ".in", ".svg", ".csv", ""}
SKIPPED = {".git", ".venv", ".cache", "node_modules", "dist", "dist-zip", "__pycache__"}


def files() -> list[Path]:
    """All files that are or would be committed."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    try:
        done = subprocess.run(command, cwd=ROOT, capture_output=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return _walked()
    names = done.stdout.decode("utf-8").split("\0")
    return sorted(path for name in names if name and (path := ROOT / name).is_file())


def _walked() -> list[Path]:
    """The same without git, for an unpacked archive."""
    return sorted(path for path in ROOT.rglob("*")
                  if path.is_file() and not SKIPPED & set(path.relative_to(ROOT).parts))


def texts() -> Iterator[tuple[str, str]]:
    """Yield (name from the top, text)."""
    for path in files():
        if path.suffix in TEXT_SUFFIXES:
            yield path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8")


def sources(*suffixes: str) -> Iterator[tuple[str, str]]:
    """Yield (name, text) of source files of these kinds."""
    return ((name, text) for name, text in texts() if name.endswith(suffixes))
