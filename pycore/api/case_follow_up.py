"""From a sound record to the plain numbers of its follow-up visits.

Differences are achieved minus predicted, D: negative is more myopic than predicted.
``predicted_d`` is the prediction of the last decision, ``plan_predicted_d`` what the plan
expected of the lens implanted. Whether a visit counts is our reading of common
practice in outcome reports; the reasons are named, nothing is left out silently.

Checked by ``tests/unit/test_follow_up_operation.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pycore.api.case_biometry import biometry, lens_constants
from pycore.api.case_numbers import DEFAULT_FORMULA, both_sides
from pycore.belief.eye import (
    REFERENCE_ENTRY_MM,
    REFERENCE_OUTSIDE_MM,
    REFERENCE_TUNNEL_MM,
    EyeModel,
    predict_final,
)
from pycore.belief.priors import by_unknown, default_priors
from pycore.errors import GuylineError
from pycore.formulas import FORMULAS, ThinEye
from pycore.optics.refraction import LEVEL_AXIS_DEG, Spherocylinder, spherical_equivalent_at_d
from pycore.records.case import Case, standing
from pycore.records.moments import days_between
from pycore.records.schedule import FIRST_COUNTING_DAY
from pycore.units import STANDARD_VERTEX_MM

#: Pressures outside which the refraction is not the eye's own, mmHg (our judgement).
LOW_IOP_MMHG: Final = 8.0
HIGH_IOP_MMHG: Final = 30.0
#: 6/24: a worse eye cannot be refracted well enough, logMAR (our judgement).
WORST_CDVA_LOGMAR: Final = 0.6
#: Complications with which a refraction does not count.
UNSETTLED: Final = {
    "corneal_oedema": "corneal oedema",
    "macular_oedema": "macular oedema",
    "gas_in_eye": "gas or air in the eye",
    "optic_capture": "optic capture",
    "lens_dislocation": "a dislocated lens",
}


@dataclass(frozen=True, slots=True)
class VisitNumbers:
    """One visit: days after surgery, spherical equivalent at 12 mm, differences, and whether
    its refraction counts (``why_not`` is empty when it does)."""

    days: int | None
    se_d: float | None
    predicted_d: float | None
    error_d: float | None
    plan_error_d: float | None
    why_not: tuple[str, ...]


def visit_numbers(case: Case, visit: Case) -> VisitNumbers:
    """The numbers of ``visit``, a row of the record's follow-ups."""
    days = days_after_surgery(case, visit)
    se_d = equivalent_d(visit)
    predicted_d, planned_d = decided_d(case), planned_refraction_d(case)
    return VisitNumbers(
        days=days,
        se_d=se_d,
        predicted_d=predicted_d,
        error_d=_difference(se_d, predicted_d),
        plan_error_d=_difference(se_d, planned_d),
        why_not=tuple(_why_not(visit, days, se_d)),
    )


def days_after_surgery(case: Case, visit: Case) -> int | None:
    """Whole days from surgery to the visit, if both dates are known."""
    if case["surgery_on"] is None or visit["on"] is None:
        return None
    return days_between(case["surgery_on"], visit["on"])


def written(visit: Case) -> Spherocylinder | None:
    """The refraction of a visit as written; ``None`` until it is complete."""
    sphere_d, cylinder_d, axis_deg = (visit[key] for key in ("sphere_d", "cylinder_d", "axis_deg"))
    if sphere_d is None or cylinder_d is None or (cylinder_d and axis_deg is None):
        return None
    return Spherocylinder(sphere_d, cylinder_d, LEVEL_AXIS_DEG if axis_deg is None else axis_deg)


def equivalent_d(visit: Case) -> float | None:
    """Spherical equivalent at a vertex of 12 mm, each meridian moved by itself.

    A vertex distance that was not entered is taken as 12 mm. ``None`` also for a refraction
    that no eye can have at that distance.
    """
    refraction = written(visit)
    if refraction is None:
        return None
    given = visit["vertex_mm"]
    from_mm = STANDARD_VERTEX_MM if given is None else given
    try:
        return spherical_equivalent_at_d(refraction, from_mm=from_mm, to_mm=STANDARD_VERTEX_MM)
    except GuylineError:
        return None


def decided_d(case: Case) -> float | None:
    """The prediction of the last decision."""
    found = [row["mean_d"] for row in case["decisions"] if row["mean_d"] is not None]
    return found[-1] if found else None


def planned_refraction_d(case: Case) -> float | None:
    """What the plan expects of the lens implanted; ``None`` if it cannot be told.

    The base formula's refraction with the plan's own corrections (a contact scan reads short,
    short tunnels hold the lens deeper), so that it is the number the plan screen showed.
    """
    measured, constants = biometry(case), lens_constants(case)
    power, method = case["lens"]["lens_power_d"], case["measurements"]["axial_method"]
    if measured is None or constants is None or power is None or method is None:
        return None
    formula = FORMULAS[case["plan"]["formula"] or DEFAULT_FORMULA]
    try:
        eye = _eye(formula.predict(measured, constants), case["plan"], power)
        return predict_final(
            eye, _expected(method, power), outside_mm=REFERENCE_OUTSIDE_MM, unmoved=False
        ).value_d
    except GuylineError:
        return None


def _eye(thin: ThinEye, plan: Case, lens_power_d: float) -> EyeModel:
    return EyeModel(
        axial_length_mm=thin.axial_length_mm,
        lens_position_mm=thin.lens_position_mm,
        corneal_power_d=thin.corneal_power_d,
        lens_power_d=lens_power_d,
        entry_mm=sum(both_sides(plan, "entry", REFERENCE_ENTRY_MM)) / 2,
        tunnel_mm=sum(both_sides(plan, "tunnel", REFERENCE_TUNNEL_MM)) / 2,
    )


def _expected(axial_method: str, lens_power_d: float) -> tuple[float, ...]:
    """Means of all unknowns before any reading."""
    priors = default_priors(axial_method=axial_method, lens_power_d=lens_power_d)
    return tuple(prior.mean for prior in by_unknown(priors))


def outcome_visit(case: Case) -> Case | None:
    """The first standing visit with a refraction from day 28 on."""
    found = [
        (days, visit)
        for visit in standing(case, "follow_ups")
        if (days := days_after_surgery(case, visit)) is not None
        and days >= FIRST_COUNTING_DAY
        and equivalent_d(visit) is not None
    ]
    return min(found, key=lambda pair: pair[0])[1] if found else None


def _difference(achieved: float | None, predicted: float | None) -> float | None:
    return None if achieved is None or predicted is None else achieved - predicted


def _why_not(visit: Case, days: int | None, se_d: float | None) -> list[str]:
    """Every reason why the refraction of this visit does not count."""
    reasons = ["There is no complete refraction."] if se_d is None else []
    if days is None:
        reasons.append("The date of surgery or of the visit is missing.")
    elif days < FIRST_COUNTING_DAY:
        reasons.append(f"It is day {days}; refractions count from day {FIRST_COUNTING_DAY}.")
    return [*reasons, *_unsettled(visit)]


def _unsettled(visit: Case) -> list[str]:
    iop, cdva = visit["iop_mmhg"], visit["cdva_logmar"]
    reasons = [f"The eye has {UNSETTLED[word]}." for word in visit["complications"] or ()
               if word in UNSETTLED]
    if iop is not None and not LOW_IOP_MMHG <= iop <= HIGH_IOP_MMHG:
        reasons.append(f"IOP {iop:g} mmHg is not between {LOW_IOP_MMHG:g} and {HIGH_IOP_MMHG:g}.")
    if cdva is not None and cdva > WORST_CDVA_LOGMAR:
        reasons.append(f"Corrected acuity {cdva:.2f} logMAR is worse than {WORST_CDVA_LOGMAR:.2f}.")
    return reasons
