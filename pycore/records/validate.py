"""Every finding about a record, worst first; never only the first one.

:func:`validate` never raises, whatever JSON value it is given. The checks are tables of
small functions on the sound copy (see :mod:`pycore.records.shape`), so a check never meets
a value of the wrong kind. To add one: write the function and put it into a ``CHECKS``.

Checked by ``tests/records/test_validate.py`` and, with arbitrary JSON, by
``tests/records/test_validate_properties.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pycore.records import (
    at_follow_up,
    before_surgery,
    completeness,
    haptic_entries,
    in_theatre,
    order,
    origins,
)
from pycore.records.case import Case
from pycore.records.finding import SEVERITIES, Check, Finding, Today
from pycore.records.shape import examine

CHECKS: Final[tuple[Check, ...]] = (
    *before_surgery.CHECKS,
    *origins.CHECKS,
    *in_theatre.CHECKS,
    *haptic_entries.CHECKS,
    *order.CHECKS,
    *at_follow_up.CHECKS,
    *completeness.CHECKS,
)


@dataclass(frozen=True, slots=True)
class Checked:
    """``sound`` holds only values that can be; ``findings`` are worst first."""

    sound: Case
    findings: tuple[Finding, ...]

    @property
    def impossible(self) -> tuple[Finding, ...]:
        return tuple(found for found in self.findings if found.severity == "impossible")


def validate(document: object, *, today: Today | None = None) -> Checked:
    """The sound copy of a record and everything that is wrong with it.

    ``today`` decides what is in the future; by default the date at this instant anywhere.
    """
    day = today or Today.somewhere()
    examined = examine(document)
    related = [found for check in CHECKS for found in check(examined.sound, day)]
    return Checked(examined.sound, tuple(worst_first([*examined.findings, *related])))


def worst_first(findings: list[Finding]) -> list[Finding]:
    """By severity; within one severity in the order found. One finding a path and code."""
    unique = {(found.path, found.code): found for found in findings}
    return sorted(unique.values(), key=lambda found: SEVERITIES.index(found.severity))
