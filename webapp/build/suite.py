"""Run the tests and the bench with everything they need."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Sequence
from pathlib import Path

from . import browser, npm, venv
from .paths import ROOT


def run_tests(arguments: Sequence[str]) -> int:
    """All pytest suites; returns pytest's own exit code, its closing line comes last."""
    python = prepare()
    return _python(python, ["-m", "pytest", *arguments])


def run_bench(arguments: Sequence[str]) -> int:
    """The bench, in the same environment as the tests; ``--cohort``: virtual eyes, no browser."""
    if "--cohort" in arguments:
        words = [word for word in arguments if word != "--cohort"]
        return _python(venv.ensure(), ["-m", "tests.simulation.cohort", *words])
    python = prepare()
    return _python(python, ["-m", "webapp.build.bench", *arguments])


def prepare() -> Path:
    """Packages and a browser; returns the environment's Python."""
    python = venv.ensure()
    browser.ensure(python)
    npm.install()
    return python


def _python(python: Path, words: Sequence[str]) -> int:
    env = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run([str(python), *words], cwd=ROOT, env=env, stdin=subprocess.DEVNULL)
    return done.returncode
