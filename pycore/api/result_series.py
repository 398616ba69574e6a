"""The series of errors that the results speak of, from rows that count.

Each is achieved minus expected in D on the eyes that have both. ``target``: from the target.
``decided``: from what was expected at the end of surgery. ``planned``: from what the plan expected
of the lens implanted, at the haptic length left. ``untitrated``: from the target again, had the
haptics stayed at the reference length (an estimate, by the optic movement per mm assumed).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.api.result_items import person_of
from pycore.api.result_rows import Row
from pycore.audit.constants import FormulaEye, Zeroed, zero_mean
from pycore.formulas import FORMULAS

#: Which row value is compared with which.
PAIRS: Final = {
    "target": ("achieved_d", "target_d"),
    "decided": ("achieved_d", "decided_d"),
    "planned": ("achieved_d", "planned_d"),
    "untitrated": ("untitrated_d", "target_d"),
}
#: The formula the others are compared with, when it can be.
BASE: Final = "holladay1"


@dataclass(frozen=True, slots=True)
class Series:
    """Errors with their persons, in the order of the rows."""

    errors_d: tuple[float, ...]
    persons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """The formulas that every compared eye has, each zeroed on the same eyes."""

    persons: tuple[str, ...]
    zeroed: dict[str, Zeroed]
    labels: dict[str, tuple[float, ...]]
    base: str | None


def series(rows: Sequence[Row], name: str) -> Series:
    """The series ``name`` of :data:`PAIRS`."""
    first, second = PAIRS[name]
    found = [row for row in rows if row[first] is not None and row[second] is not None]
    return Series(tuple(row[first] - row[second] for row in found), tuple(map(person_of, found)))


def both(rows: Sequence[Row], *names: str) -> list[Row]:
    """Rows that belong to every named series."""
    keys = {key for name in names for key in PAIRS[name]}
    return [row for row in rows if all(row[key] is not None for key in keys)]


def comparison(rows: Sequence[Row]) -> Comparison:
    """All formulas on the eyes that every formula can compute."""
    found = [row for row in rows
             if row["lens_power_d"] is not None and row["formulas"].keys() == FORMULAS.keys()]
    persons = tuple(map(person_of, found))
    zeroed = {}
    for name, formula in FORMULAS.items():
        made = zero_mean([_eye(row, name) for row in found], persons,
                         position_per_constant=formula.position_per_constant)
        if made is not None:
            zeroed[name] = made
    labels = {name: tuple(row["formulas"][name][3] for row in found) for name in zeroed}
    return Comparison(persons, zeroed, labels, BASE if BASE in zeroed else next(iter(zeroed), None))


def _eye(row: Row, name: str) -> FormulaEye:
    length, position, cornea, _ = row["formulas"][name]
    return FormulaEye(length, position, cornea, row["lens_power_d"], row["achieved_d"])
