"""Run the tests and the bench with everything they need."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Sequence
from pathlib import Path

from . import browser, dicom_checker, npm, venv, webkit
from .paths import ROOT

MOST_PROCESSES = 4


def run_tests(arguments: Sequence[str]) -> int:
    """All pytest suites; returns pytest's own exit code, its closing line comes last."""
    python = prepare()
    return _python(python, ["-m", "pytest", *(arguments or side_by_side())])


def side_by_side() -> list[str]:
    """Whole files on several cores at once; given arguments of one's own, pytest runs plainly."""
    cores = min(os.cpu_count() or 1, MOST_PROCESSES)
    return ["-n", str(cores), "--dist", "loadfile"] if cores > 1 else []


# What is benched, by its option; without one the browser.
BENCHES = {"--cohort": "tests.simulation.cohort", "--refold": "tests.build.refold_bench"}
BROWSER_BENCH = "webapp.build.bench"


def bench_command(arguments: Sequence[str]) -> list[str]:
    """Module to run and its own arguments."""
    named = next((word for word in arguments if word in BENCHES), None)
    module = BENCHES[named] if named else BROWSER_BENCH
    return ["-m", module, *(word for word in arguments if word != named)]


def run_bench(arguments: Sequence[str]) -> int:
    """One of the benches, in the same environment as the tests."""
    needs_browser = bench_command(arguments)[1] == BROWSER_BENCH
    python = prepare() if needs_browser else venv.ensure()
    return _python(python, bench_command(arguments))


def prepare() -> Path:
    """Packages and browsers; returns the environment's Python."""
    python = venv.ensure()
    browser.ensure(python)
    webkit.ensure()
    dicom_checker.ensure()
    npm.install()
    return python


def _python(python: Path, words: Sequence[str]) -> int:
    env = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run([str(python), *words], cwd=ROOT, env=env, stdin=subprocess.DEVNULL)
    return done.returncode
