"""Follow-up visits: refraction, acuity and complications that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from pycore.records.case import Case, rows
from pycore.records.finding import Check, Finding, Today, unusual
from pycore.records.in_theatre import cylinder_has_axis

#: Corrected acuity may be entered this much worse by rounding, logMAR: two lines.
_WORSE_LOGMAR: Final = 0.2


def visit_refraction(case: Case, today: Today) -> Iterator[Finding]:
    """Sphere and cylinder together, a cylinder with its axis."""
    for path, visit in rows(case, "follow_ups"):
        if visit["withdrawn"] is None:
            yield from cylinder_has_axis(path, visit)


def visit_acuity(case: Case, today: Today) -> Iterator[Finding]:
    """Correction does not make the acuity worse."""
    for path, visit in rows(case, "follow_ups"):
        without, corrected = visit["udva_logmar"], visit["cdva_logmar"]
        if without is not None and corrected is not None and corrected > without + _WORSE_LOGMAR:
            yield unusual(
                f"{path}.cdva_logmar", "worse_with_correction",
                f"The corrected acuity ({corrected:.2f} logMAR) is worse than the uncorrected one "
                f"({without:.2f}). Check that the two were not swapped; a larger logMAR is worse.",
            )


CHECKS: Final[tuple[Check, ...]] = (visit_refraction, visit_acuity)
