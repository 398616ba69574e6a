"""Run other programs, and say plainly when one is missing or fails."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path

from .errors import BuildError


def require(program: str, *, advice: str) -> str:
    """Full path of a program, or one sentence about how to get it."""
    found = shutil.which(program)
    if found is None:
        raise BuildError(f"The program '{program}' was not found: {advice}.")
    return found


def run(
    command: Sequence[str | Path],
    *,
    doing: str,
    cwd: Path | None = None,
    env: Mapping[str, str] | None = None,
    quiet: bool = False,
) -> str:
    """Run to the end; the output is shown unless quiet, and then returned."""
    words = [str(word) for word in command]
    full_env = {**os.environ, **env} if env else None
    try:
        done = subprocess.run(
            words, cwd=cwd, env=full_env, stdin=subprocess.DEVNULL, text=True,
            stdout=subprocess.PIPE if quiet else None,
            stderr=subprocess.STDOUT if quiet else None,
        )
    except FileNotFoundError:
        raise BuildError(f"{doing} failed: the program '{words[0]}' was not found.") from None
    if done.returncode != 0:
        raise BuildError(f"{doing} failed with exit code {done.returncode}{_tail(done.stdout)}.")
    return done.stdout or ""


def _tail(output: str | None) -> str:
    lines = [line.strip() for line in (output or "").splitlines() if line.strip()]
    return f" ({lines[-1]})" if lines else ""
