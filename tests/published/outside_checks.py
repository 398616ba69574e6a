"""Every comparison with an outside value, from all ``checks_*.py`` beside this file.

``python3 -m tests.published.outside_checks`` prints them as a table. To add some: a module
``checks_<subject>.py`` in this folder with a list ``CHECKS`` of :class:`OutsideCheck`.
"""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path

from tests.published.check import OutsideCheck


def collect() -> list[OutsideCheck]:
    """All checks, module by module in order of name."""
    names = sorted(path.stem for path in Path(__file__).parent.glob("checks_*.py"))
    return [check for name in names for check in import_module(f"tests.published.{name}").CHECKS]


CHECKS: list[OutsideCheck] = collect()


def table() -> str:
    """One line for each check: agreement, expected, difference, tolerance, name, source."""
    lines = [
        f"{'ok ' if check.agrees else 'BAD'} {check.expected:>12.5g} {check.difference:>+10.2e} "
        f"{check.tolerance:>8.1e} {check.confidence:<11} {check.name}  [{check.source}]"
        for check in CHECKS
    ]
    counts = {kind: sum(check.confidence == kind for check in CHECKS) for kind in
              ("journal", "secondary", "memory", "consistency")}
    summary = ", ".join(f"{count} {kind}" for kind, count in counts.items())
    bad = sum(not check.agrees for check in CHECKS)
    return "\n".join([*lines, f"{len(CHECKS)} checks ({summary}); {bad} disagree"])


if __name__ == "__main__":
    print(table())
    sys.exit(any(not check.agrees for check in CHECKS))
