"""All checks that are no tests; every one runs, and the command fails when one does."""

from __future__ import annotations

import subprocess
import time
from collections.abc import Callable
from pathlib import Path

from . import check_dist, check_sources, imports, npm, venv
from .paths import NODE_MODULES, ROOT

Check = Callable[[], list[str]]
MOST_SHOWN = 40
PYTHON_FOLDERS = ["build.py", "pycore", "webapp/build", "tests"]


def _program(*words: str | Path) -> list[str]:
    """Lines of output when the program fails; empty when it is content."""
    done = subprocess.run([str(word) for word in words], cwd=ROOT, text=True,
                          stdin=subprocess.DEVNULL, capture_output=True)
    if done.returncode == 0:
        return []
    return (done.stdout + done.stderr).strip().splitlines() or [f"exit code {done.returncode}"]


def _tsc(project: str) -> Check:
    compiler = NODE_MODULES / "typescript" / "bin" / "tsc"
    return lambda: _program(npm.node(), compiler, "-p", f"webapp/{project}", "--pretty", "false")


def all_checks(python: Path) -> dict[str, Check]:
    """Name and action, cheapest first."""
    return {
        "module length": check_sources.long_modules,
        "function length": check_sources.long_functions,
        "forbidden marks": check_sources.forbidden_marks,
        "import direction": imports.violations,
        "no arithmetic on quantities in the browser": check_sources.browser_arithmetic,
        "ruff": lambda: _program(python, "-m", "ruff", "check", "--quiet", "--output-format",
                                 "concise", *PYTHON_FOLDERS),
        "mypy, core": lambda: _program(python, "-m", "mypy", "pycore"),
        "mypy, build": lambda: _program(python, "-m", "mypy", "build.py", "webapp/build"),
        "types of the pages": _tsc("tsconfig.json"),
        "types of the workers": _tsc("tsconfig.worker.json"),
        "two equal builds, no foreign address": check_dist.built_twice,
    }


def run_all() -> int:
    """Run every check; 0 when all are content."""
    python = venv.ensure()
    npm.install()
    failed = [name for name, check in all_checks(python).items() if not _report(name, check)]
    print(f"check: {'failed: ' + ', '.join(failed) if failed else 'all passed'}")
    return 1 if failed else 0


def _report(name: str, check: Check) -> bool:
    start = time.monotonic()
    problems = check()
    print(f"{'FAILED' if problems else 'ok':>6}  {name}  ({time.monotonic() - start:.1f} s)", flush=True)
    for line in problems[:MOST_SHOWN]:
        print(f"        {line}")
    if len(problems) > MOST_SHOWN:
        print(f"        and {len(problems) - MOST_SHOWN} more")
    return not problems
