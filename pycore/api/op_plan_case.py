"""``plan_case``: everything the plan screen shows for one stored eye."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.biometry import read_biometry, read_constants
from pycore.api.case_history import HISTORY_ITEMS, history_value, moved_plan, start_of, started
from pycore.api.case_numbers import (
    DEFAULT_FORMULA,
    case_paths,
    note_with_case_paths,
    plain_case,
    sound_case,
)
from pycore.api.case_numbers import titration_request as request_of
from pycore.api.op_entries import as_value
from pycore.api.operation import Answer, Operation
from pycore.api.plan_answers import (
    budget_value,
    clocks_value,
    entries_value,
    formulas_value,
    lens_value,
    lenses_value,
    nearest_step_d,
    note_expected_shift,
    note_fellow,
    readback,
)
from pycore.api.plan_assumed import assumed_value
from pycore.api.schema import Notes, mapping, record, required
from pycore.api.titration_request import ITEMS
from pycore.records.validate import validate

#: What the plan cannot do without: the path, and what to do.
NEEDED: Final = (
    ("eye", "Choose the eye."),
    ("measurements.axial_length_mm", "Enter the axial length."),
    ("measurements.axial_method", "Say how the axial length was measured."),
    ("lens.a", "Enter the A constant from the lens label."),
    ("plan.target_d", "Enter the target."),
)
_CORNEA: Final = {
    "d": (("measurements.k1_d", "Enter K flat."), ("measurements.k2_d", "Enter K steep.")),
    "mm": (
        ("measurements.r1_mm", "Enter the flat radius."),
        ("measurements.r2_mm", "Enter the steep radius."),
    ),
}
_OWN_CONSTANT: Final = {
    "holladay1": "surgeon_factor_mm",
    "hoffer_q": "pacd_mm",
    "haigis": "a0",
}
#: Needed before the lens can be read back, not before powers can be shown.
_NEEDED_TO_READ_BACK: Final = (
    ("lens.lens_power_d", "Choose the lens power."),
    ("plan.meridian_deg", "Enter the fixation meridian."),
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    case = sound_case(request["case"])
    missing = _missing(case, NEEDED + _CORNEA[case["measurements"]["k_unit"] or "d"])
    if missing:
        return Answer(_incomplete(case, missing))
    return _complete(case, request, notes)


def _incomplete(case: dict[str, Any], missing: list[dict[str, str]]) -> dict[str, Any]:
    return {
        "ready": False,
        "missing": missing,
        "base": case["plan"]["formula"] or DEFAULT_FORMULA,
        "formulas": {},
        "lenses": [],
        "chosen": None,
        "budget": [],
        "clocks": clocks_value(case),
        "assumed": assumed_value(case),
        "entries": None,
        "expected_outside_mm": None,
        "cautions": [],
        "readback": None,
        "history": None,
    }


def _complete(case: dict[str, Any], request: dict[str, Any], notes: Notes) -> Answer:
    cautions = Notes()
    base = case["plan"]["formula"] or DEFAULT_FORMULA
    formulas = _formulas(case, cautions)
    chosen = case["lens"]["lens_power_d"]
    if formulas[base]["power_d"] is None:
        problem = {"path": "lens.a", "message": formulas[base]["why_not"]}
        return Answer({**_incomplete(case, [problem]), "formulas": formulas})
    centre = nearest_step_d(formulas[base]["power_d"])
    before, provenance = plain_case(_untouched(case, centre if chosen is None else chosen), cautions)
    start = start_of(request, notes, formula=base, this_eye=case["code"])
    plain = started(before, start)
    entries = entries_value(case, cautions)
    note_fellow(case, cautions)
    note_expected_shift(case, cautions)
    to_read_back = [*_missing(case, _NEEDED_TO_READ_BACK), *_impossible(case)]
    value = {
        "ready": True,
        "missing": to_read_back,
        "base": base,
        "formulas": formulas,
        "lenses": lenses_value(plain, centre_d=centre, chosen_d=chosen),
        "chosen": None if chosen is None else {**lens_value(plain, chosen), "chosen": True},
        "budget": budget_value(plain),
        "clocks": clocks_value(case),
        "assumed": assumed_value(case),
        "entries": None if entries is None else as_value(entries),
        "expected_outside_mm": None if entries is None else entries.expected_outside_mm,
        "cautions": cautions.warnings,
        "readback": None if to_read_back else readback(case),
        "history": history_value(start, before, plain, moved_plan(before, plain)),
    }
    return Answer(value, provenance)


def _formulas(case: dict[str, Any], cautions: Notes) -> dict[str, Any]:
    """Every formula's answer from the measurements and constants alone."""
    inner = Notes()
    wanted = [item for item in ITEMS if item.key != "lens_power_d"]
    request = {key: value for key, value in request_of(case, []).items() if key != "lens_power_d"}
    with case_paths():
        read = record(*wanted)(request, "", Notes())
        biometry, constants = read_biometry(read, inner), read_constants(read, inner)
    note_with_case_paths(inner, cautions)
    return formulas_value(
        biometry, constants, target_d=read["target_d"], power_d=case["lens"]["lens_power_d"]
    )


def _untouched(case: dict[str, Any], power_d: float) -> dict[str, Any]:
    """The case with this lens before anything was done to a haptic: that is what is planned."""
    lens = {**case["lens"], "lens_power_d": power_d}
    return {**case, "lens": lens, "readings": [], "haptic_log": []}


def _missing(case: dict[str, Any], needed: tuple[tuple[str, str], ...]) -> list[dict[str, str]]:
    return [
        {"path": path, "message": message}
        for path, message in needed
        if _at(case, path) is None and not _replaced(case, path)
    ]


def _impossible(case: dict[str, Any]) -> list[dict[str, str]]:
    """What cannot be must be corrected before the plan is read back."""
    before_surgery = {**case, "readings": [], "haptic_log": [], "decisions": [], "follow_ups": []}
    return [
        {"path": found.path, "message": found.message}
        for found in validate(before_surgery).findings
        if found.severity == "impossible"
    ]


def _replaced(case: dict[str, Any], path: str) -> bool:
    """The base formula's own constant stands in for the A constant."""
    own = _OWN_CONSTANT.get(case["plan"]["formula"] or DEFAULT_FORMULA)
    return path == "lens.a" and own is not None and case["lens"][own] is not None


def _at(case: dict[str, Any], path: str) -> Any:
    value: Any = case
    for key in path.split("."):
        value = value[key]
    return value


OPERATION = Operation(
    "plan_case",
    "The plan of one stored eye: formulas, lenses with reach, cautions, read-back.",
    (required("case", mapping), *HISTORY_ITEMS),
    run,
)
