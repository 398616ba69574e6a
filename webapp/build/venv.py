"""Virtual environments whose every package is pinned by hash."""

from __future__ import annotations

import hashlib
import sys
from pathlib import Path

from .errors import BuildError
from .paths import TESTS, VENV, venv_program
from .process import run
from .progress import say

TEST_REQUIREMENTS = TESTS / "requirements.txt"


def ensure(venv: Path = VENV, requirements: Path = TEST_REQUIREMENTS) -> Path:
    """Create or refresh the environment when its requirements changed; return its Python."""
    python = venv_program("python", venv)
    stamp = venv / ".guyline-stamp"
    wanted = hashlib.sha256(requirements.read_bytes()).hexdigest()
    if python.exists() and stamp.is_file() and stamp.read_text() == wanted:
        return python
    _require_pip()
    say(f"installing the pinned packages of {requirements.name} into {venv.name}/")
    if not python.exists():
        run([sys.executable, "-m", "venv", venv], doing="Creating the Python environment",
            quiet=True)
    run([python, "-m", "pip", "install", "-qq", "--disable-pip-version-check",
         "--require-hashes", "-r", requirements], doing="Installing the Python packages")
    stamp.write_text(wanted)
    return python


def _require_pip() -> None:
    try:
        import ensurepip  # noqa: F401
        import venv as _venv  # noqa: F401
    except ImportError:
        raise BuildError(
            "This Python lacks 'venv' and 'ensurepip': install your system's python3-venv package."
        ) from None
