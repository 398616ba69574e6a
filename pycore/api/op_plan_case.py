"""``plan_case``: everything the plan screen shows for one stored eye."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.biometry import read_biometry, read_constants
from pycore.api.box_items import BOX_ITEM, BOX_TODAY_ITEM, CONSTANTS, Stock, Usable, usable
from pycore.api.case_history import HISTORY_ITEMS, Start, history_value, moved_plan, start_of, started
from pycore.api.case_numbers import (
    DEFAULT_FORMULA,
    axial_method,
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
    nearest_step_d,
    note_expected_shift,
    note_fellow,
    note_lens_far,
    note_target,
    readback,
)
from pycore.api.plan_assumed import assumed_value
from pycore.api.plan_lenses import EyeWith, box_lenses, half_dioptre_lenses
from pycore.api.plan_media import media_value
from pycore.api.plan_route import route_value_of
from pycore.api.schema import Notes, mapping, record, required
from pycore.api.titration_request import ITEMS
from pycore.planning.titrate import Case
from pycore.records.validate import validate
from pycore.words import say

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
    stored = sound_case(request["case"])
    base = stored["plan"]["formula"] or DEFAULT_FORMULA
    at_hand = usable(request.get("box") or [], formula=base, today=request.get("today"))
    case, lender = with_constants(stored, at_hand)
    missing = missing_for_plan(case)
    if missing:
        return Answer(_incomplete(case, missing))
    return _complete(case, lender, at_hand, request, notes)


def missing_for_plan(case: dict[str, Any]) -> list[dict[str, str]]:
    """What must be entered before any power can be shown."""
    return _missing(case, NEEDED + _CORNEA[case["measurements"]["k_unit"] or "d"])


def with_constants(case: dict[str, Any], at_hand: Usable) -> tuple[dict[str, Any], Stock | None]:
    """An eye whose lens has no constants yet is shown with those of a lens of the box."""
    if not at_hand.stock or not _missing(case, (("lens.a", ""),)):
        return case, None
    lender = at_hand.stock[len(at_hand.stock) // 2]
    constants = {name: lender.row[name] for name in CONSTANTS}
    return {**case, "lens": {**case["lens"], "lens_power_d": None, **constants}}, lender


def _incomplete(case: dict[str, Any], missing: list[dict[str, str]]) -> dict[str, Any]:
    return {
        "ready": False,
        "missing": missing,
        "base": case["plan"]["formula"] or DEFAULT_FORMULA,
        "formulas": {},
        "lenses": [],
        "choice": None,
        "missing_powers": [],
        "box": None,
        "chosen": None,
        "budget": [],
        "clocks": clocks_value(case),
        "assumed": assumed_value(case),
        "entries": None,
        "expected_outside_mm": None,
        "cautions": [],
        "readback": None,
        "history": None,
        "second_route": None,
        "media": None,
    }


def _complete(
    case: dict[str, Any], lender: Stock | None, at_hand: Usable, request: dict[str, Any], notes: Notes
) -> Answer:
    cautions = Notes()
    base = case["plan"]["formula"] or DEFAULT_FORMULA
    formulas = formulas_of(case, cautions)
    chosen = case["lens"]["lens_power_d"]
    if formulas[base]["power_d"] is None:
        problem = {"path": "lens.a", "message": formulas[base]["why_not"]}
        return Answer({**_incomplete(case, [problem]), "formulas": formulas})
    centre = nearest_step_d(formulas[base]["power_d"])
    before, provenance = plain_case(untouched(case, centre if chosen is None else chosen), cautions)
    start = start_of(request, notes, formula=base, case=case)
    plain = started(before, start)
    entries = entries_value(case, cautions)
    note_fellow(case, cautions)
    note_target(case, cautions)
    note_expected_shift(case, cautions)
    _note_lender(lender, cautions)
    to_read_back = [
        *([] if lender is None else [_CHOOSE]), *_missing(case, _NEEDED_TO_READ_BACK), *_impossible(case)
    ]
    eye_with = eye_with_lens(case, start)
    chosen_value = None if chosen is None else lens_value(plain, chosen)
    if chosen_value is not None:
        note_lens_far(plain, chosen_value, cautions)
    value = {
        "ready": True,
        "missing": to_read_back,
        "base": base,
        "formulas": formulas,
        **(
            box_lenses(at_hand, case["lens"], eye_with, centre_d=centre, today=request.get("today"))
            if at_hand.stock else half_dioptre_lenses(plain, case["lens"], at_hand, centre_d=centre)
        ),
        "chosen": None if chosen_value is None else {**chosen_value, "chosen": True},
        "budget": budget_value(plain),
        "clocks": clocks_value(case),
        "assumed": assumed_value(case),
        "entries": None if entries is None else as_value(entries),
        "expected_outside_mm": None if entries is None else entries.expected_outside_mm,
        "second_route": route_value_of(case),
        "media": media_value(case, cautions),
        "cautions": cautions.warnings,
        "readback": None if to_read_back else readback(case),
        "history": history_value(start, before, plain, moved_plan(before, plain, start)),
    }
    return Answer(value, provenance)


def formulas_of(case: dict[str, Any], cautions: Notes) -> dict[str, Any]:
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


_CHOOSE: Final = {
    "path": "lens.a",
    "message": "Choose a lens from the box, or enter the A constant from the lens label.",
}


def _note_lender(lender: Stock | None, cautions: Notes) -> None:
    if lender is not None:
        cautions.warn(
            "constants_of_box",
            say(
                "No lens is chosen yet: the formulas are shown with the constants of {label} from the "
                "box. Each lens in the list has its own.",
                label=lender.label,
            ),
            field="lens.a",
        )


def eye_with_lens(case: dict[str, Any], start: Start | None) -> EyeWith:
    """The plan's eye with another lens, for each lens of the box."""

    def make(lens: dict[str, Any]) -> Case:
        own = untouched({**case, "lens": lens}, lens["lens_power_d"])
        return started(plain_case(own, Notes())[0], start)

    return make


def untouched(case: dict[str, Any], power_d: float) -> dict[str, Any]:
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
    """The base formula's own constant stands in for the A constant, an estimate for a method."""
    if path == "measurements.axial_method":
        return axial_method(case["measurements"]) is not None
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
    (required("case", mapping), *HISTORY_ITEMS, BOX_ITEM, BOX_TODAY_ITEM),
    run,
)
