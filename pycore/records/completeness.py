"""What is still missing for the stage that an eye is in.

``missing_for_plan`` keeps the plan from being made, ``missing_for_series`` only keeps the
eye from being counted in a series (the union of what published series report).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from pycore.fields import FIELDS
from pycore.records.case import Case, rows
from pycore.records.finding import Check, Finding, Today, missing
from pycore.records.stage import stage
from pycore.words import say

#: Path and what to do, for every plan. An entry that was left empty is assumed and said to be.
_FOR_PLAN: Final = (
    ("eye", "Choose the eye. It is never assumed."),
    ("measurements.axial_length_mm", "Enter the axial length."),
    ("measurements.axial_method", "Enter how the axial length was measured."),
    ("measurements.keratometry_method", "Enter how the cornea was measured."),
    ("measurements.k_unit", "Choose whether the cornea is entered in D or mm."),
    ("history.cornea", "Enter the history of the cornea; it decides how far K can be trusted."),
    ("lens.lens_power_d", "Choose the lens power."),
    ("plan.target_d", "Enter the target with its sign."),
    ("plan.formula", "Choose the base formula."),
    ("plan.meridian_deg", "Enter the fixation meridian."),
)
_FOR_SERIES: Final = (
    ("history.age_years", "Enter the age."),
    ("history.sex", "Enter the sex as in the notes."),
    ("history.indication", "Enter the indication."),
    ("history.vitreous", "Enter the state of the vitreous."),
)
_CORNEA: Final = {"d": ("k1_d", "k2_d"), "mm": ("r1_mm", "r2_mm")}
#: Constants each formula can work from; any one of the inner tuples, complete.
_CONSTANTS: Final = {
    "srkt": (("a",),),
    "holladay1": (("surgeon_factor_mm",), ("a",)),
    "hoffer_q": (("pacd_mm",), ("a",)),
    "haigis": (("a0", "a1", "a2"), ("a",)),
}


def for_plan(case: Case, today: Today) -> Iterator[Finding]:
    """Needed before a lens can be chosen."""
    for path, message in _FOR_PLAN:
        if _at(case, path) is None and not _estimated(case["measurements"], path):
            yield missing(path, "missing_for_plan", message)
    yield from _cornea(case["measurements"])
    yield from _constants(case)


def _estimated(found: Case, path: str) -> bool:
    """How something was measured is not asked of what was not measured."""
    origin = {"measurements.axial_method": "axial_origin", "measurements.keratometry_method": "cornea_origin"}
    return path in origin and found[origin[path]] is not None


def _cornea(found: Case) -> Iterator[Finding]:
    for key in _CORNEA.get(found["k_unit"] or "", ()):
        if found[key] is None:
            yield missing(f"measurements.{key}", "missing_for_plan", say(
                "Enter {label}.",
                label=FIELDS[key].label,
            ))


def _constants(case: Case) -> Iterator[Finding]:
    formula = case["plan"]["formula"]
    choices = _CONSTANTS.get(formula or "", (("a",),))
    if not any(all(case["lens"][key] is not None for key in keys) for keys in choices):
        yield missing("lens.a", "missing_for_plan", "Enter the A constant from the label of the lens.")


def for_series(case: Case, today: Today) -> Iterator[Finding]:
    """Wanted for a series; never in the way of surgery."""
    for path, message in _FOR_SERIES:
        if _at(case, path) is None:
            yield missing(path, "missing_for_series", message)


def after_surgery(case: Case, today: Today) -> Iterator[Finding]:
    """Needed once surgery has ended: its date, and a method with every refraction."""
    if stage(case, today) != "follow_up":
        return
    if case["surgery_on"] is None and not case["follow_ups"]:
        yield missing("surgery_on", "missing_surgery_date",
                      "Enter the date of surgery: visits are counted from it.")
    for path, visit in rows(case, "follow_ups"):
        if visit["withdrawn"] is None and visit["sphere_d"] is not None:
            yield from _method(path, visit)


def _method(path: str, visit: Case) -> Iterator[Finding]:
    if visit["refraction_method"] is None:
        yield missing(f"{path}.refraction_method", "missing_for_series",
                      "Enter how the refraction was made.")


def _at(case: Case, path: str) -> Any:
    found: Any = case
    for key in path.split("."):
        found = found[key]
    return found


CHECKS: Final[tuple[Check, ...]] = (for_plan, for_series, after_surgery)
