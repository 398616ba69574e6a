"""From a stored eye to the one row that the results need of it, or the reason why it does not count.

The refraction that counts is the one learning counts: the first standing visit from day 28 whose
refraction is complete and settled. Acuity is judged apart, at the first visit from day 28 with an
acuity: an eye that sees too little to be refracted well still belongs to the acuity graphs. The
plan's error is taken at the haptic length that was left, because a plan for the reference length
says nothing about an eye whose lens was then moved on purpose.

A row holds plain numbers only, so that reading thousands of records is done once and the figures
can be asked again and again. Checked by ``tests/unit/test_results_operation.py``.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.case_biometry import biometry, lens_constants
from pycore.api.case_done import left_outside_mm
from pycore.api.case_follow_up import (
    days_after_surgery,
    decided_d,
    equivalent_d,
    planned_view,
    why_not_counted,
    written,
)
from pycore.api.case_learning import code_of
from pycore.api.case_numbers import sound_case
from pycore.belief.eye import REFERENCE_OUTSIDE_MM
from pycore.belief.priors import TRAVEL_RATIO
from pycore.errors import GuylineError
from pycore.formulas import FORMULAS
from pycore.optics.refraction import Spherocylinder, minus_form
from pycore.records.case import Case, standing
from pycore.records.schedule import FIRST_COUNTING_DAY, slot_of

Row = dict[str, Any]

#: Optic movement toward the cornea per mm of haptic assumed here, as the planning does.
MOVEMENT_PER_MM: Final = TRAVEL_RATIO.mean
_ACUITIES: Final = ("udva", "cdva")


def row_of(document: object) -> Row:
    """The row of one stored eye; never raises for what a record may hold."""
    code = code_of(document)
    try:
        return _row(sound_case(_without_readbacks(document)), code)
    except GuylineError as error:
        return {**_empty(code), "state": "left_out", "reason": "incomplete", "message": error.message}


def _without_readbacks(document: object) -> object:
    """What was read aloud is not needed here, and is long."""
    return {**document, "readbacks": []} if isinstance(document, dict) else document


def _empty(code: str) -> Row:
    return {
        "code": code, "person": None, "eye": None, "demo": False, "surgery_on": None,
        "state": "left_out", "reason": None, "message": None, "days": None,
        "target_d": None, "achieved_d": None, "planned_d": None, "decided_d": None,
        "untitrated_d": None, "outside_mm": None, "lens_power_d": None, "formulas": {},
        "cylinder_d": None, "axis_deg": None, "acuity_days": None, "acuity": {}, "visits": [],
    }


def _row(case: Case, code: str) -> Row:
    row = {
        **_empty(code), "person": case["person"], "eye": case["eye"], "demo": bool(case["demo"]),
        "surgery_on": case["surgery_on"], "target_d": case["plan"]["target_d"],
        "lens_power_d": case["lens"]["lens_power_d"], "visits": _visits(case), **_acuity(case),
    }
    counted = _counting_visit(case)
    if isinstance(counted, str):
        state, message = counted.split(" ", 1)
        return {**row, "state": "waiting" if state != "not_usable" else "left_out",
                "reason": state, "message": message}
    return {**row, "state": "counted", **_outcome(case, counted)}


def _counting_visit(case: Case) -> Case | str:
    """The visit that counts, or a word and a sentence why there is none."""
    dated = _dated(case)
    if case["surgery_on"] is None and not dated:
        return "not_operated There is no date of surgery yet."
    late = [visit for days, visit in dated if days >= FIRST_COUNTING_DAY]
    if not late:
        return f"too_early There is no visit from day {FIRST_COUNTING_DAY} on yet."
    found = [(visit, why_not_counted(case, visit)) for visit in late]
    usable = next((visit for visit, why_not in found if not why_not), None)
    return usable or f"not_usable {' '.join(found[-1][1])}"


def _outcome(case: Case, visit: Case) -> Row:
    outside_mm, achieved_d = length_left_mm(case), equivalent_d(visit)
    return {
        "days": days_after_surgery(case, visit),
        "achieved_d": achieved_d,
        "decided_d": decided_d(case),
        "outside_mm": outside_mm,
        **_planned(case, achieved_d, outside_mm),
        "formulas": _formulas(case, outside_mm),
        **_cylinder(visit),
    }


def length_left_mm(case: Case) -> float | None:
    """The mean length left outside by the log, else the one decided last; ``None`` without either."""
    left = left_outside_mm(case)
    if left is not None:
        return left
    found = [row["outside_mm"] for row in case["decisions"] if row["outside_mm"] is not None]
    return found[-1] if found else None


def _planned(case: Case, achieved_d: float | None, outside_mm: float | None) -> Row:
    """The plan at the length left, and what the eye would be at the reference length."""
    view = planned_view(case)
    if view is None or achieved_d is None:
        return {}
    try:
        reference = view.linear(REFERENCE_OUTSIDE_MM).value_d
        if outside_mm is None:
            return {"planned_d": reference}
        left = view.linear(outside_mm).value_d
    except GuylineError:
        return {}
    return {"planned_d": left, "untitrated_d": achieved_d + reference - left}


def _formulas(case: Case, outside_mm: float | None) -> dict[str, list[float]]:
    """Each formula's length, lens position for the length left, corneal power and constant."""
    measured, constants = biometry(case), lens_constants(case)
    if measured is None or constants is None or case["lens"]["lens_power_d"] is None:
        return {}
    forward = 0.0 if outside_mm is None else MOVEMENT_PER_MM * (outside_mm - REFERENCE_OUTSIDE_MM)
    found: dict[str, list[float]] = {}
    for name, formula in FORMULAS.items():
        try:
            thin = formula.predict(measured, constants)
            given = getattr(constants, formula.constant)
            used = formula.constants_used(constants)[formula.constant] if given is None else given
        except (GuylineError, ValueError):
            continue
        found[name] = [thin.axial_length_mm, thin.lens_position_mm - forward, thin.corneal_power_d, used]
    return found


def _cylinder(visit: Case) -> Row:
    """The refractive cylinder in minus form, as it was refracted."""
    refraction = written(visit)
    minus = minus_form(refraction or Spherocylinder(0.0, 0.0, 180.0))
    return {"cylinder_d": minus.cylinder_d, "axis_deg": minus.axis_deg} if refraction else {}


def _acuity(case: Case) -> Row:
    """Both acuities of the first visit from day 28 that has one; low vision is no number."""
    for days, visit in _dated(case):
        found = {kind: (visit[f"{kind}_logmar"], visit.get(f"{kind}_low")) for kind in _ACUITIES}
        known = {kind: logmar for kind, (logmar, low) in found.items() if logmar is not None or low}
        if days >= FIRST_COUNTING_DAY and known:
            return {"acuity_days": days, "acuity": known}
    return {}


def _visits(case: Case) -> list[list[Any]]:
    """Planned visit and spherical equivalent of every complete refraction after surgery."""
    found = ((slot_of(days), equivalent_d(visit)) for days, visit in _dated(case))
    return [[slot.label, se_d] for slot, se_d in found if slot is not None and se_d is not None]


def _dated(case: Case) -> list[tuple[int, Case]]:
    """Standing visits by day after surgery."""
    days = ((days_after_surgery(case, visit), visit) for visit in standing(case, "follow_ups"))
    return sorted(((day, visit) for day, visit in days if day is not None), key=lambda pair: pair[0])
