"""From a sound record to the plain numbers of its follow-up visits.

Differences are achieved minus predicted, D: negative is more myopic than predicted.
``predicted_d`` is the prediction of the last decision, moved to the length that the log left
outside when that is another one (:mod:`pycore.api.case_done`); ``plan_predicted_d`` is what the
plan expected of the lens implanted. Whether a visit counts is our reading of common
practice in outcome reports; the reasons are named, nothing is left out silently.

Checked by ``tests/unit/test_follow_up_operation.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pycore.api.acuity_words import acuity_text
from pycore.api.case_done import Expected, expected
from pycore.api.case_numbers import plain_case
from pycore.api.schema import Notes
from pycore.belief.eye import REFERENCE_OUTSIDE_MM
from pycore.belief.outcome import FinalView
from pycore.belief.readings import prior_belief
from pycore.belief.surgeon import SurgeonBelief, no_history
from pycore.belief.surgeon_next import next_priors
from pycore.errors import GuylineError
from pycore.optics.refraction import LEVEL_AXIS_DEG, Spherocylinder, spherical_equivalent_at_d
from pycore.records.case import Case, standing
from pycore.records.moments import days_between
from pycore.records.schedule import FIRST_COUNTING_DAY
from pycore.units import STANDARD_VERTEX_MM
from pycore.words import say

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
    "reverse_pupil_block": "reverse pupil block",
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
    predicted_from: str | None = None


@dataclass(frozen=True, slots=True)
class Predictions:
    """What one eye's visits are compared with: after the readings, and by the plan."""

    after: Expected
    planned_d: float | None

    @classmethod
    def of(cls, case: Case, surgeon: SurgeonBelief | None = None) -> Predictions:
        return cls(expected(case), planned_refraction_d(case, surgeon))


def visit_numbers(
    case: Case,
    visit: Case,
    predictions: Predictions | None = None,
    *,
    surgeon: SurgeonBelief | None = None,
) -> VisitNumbers:
    """The numbers of ``visit``, a row of the record's follow-ups; ``surgeon`` as the plan had it.

    ``predictions`` spares computing them again for each visit of one eye.
    """
    found = predictions or Predictions.of(case, surgeon)
    days = days_after_surgery(case, visit)
    se_d = equivalent_d(visit)
    return VisitNumbers(
        days=days,
        se_d=se_d,
        predicted_d=found.after.value_d,
        error_d=_difference(se_d, found.after.value_d),
        plan_error_d=_difference(se_d, found.planned_d),
        why_not=tuple(_why_not(visit, days, se_d)),
        predicted_from=found.after.source,
    )


def why_not_counted(case: Case, visit: Case) -> tuple[str, ...]:
    """Every reason why the refraction of ``visit`` does not count; empty when it does."""
    return tuple(_why_not(visit, days_after_surgery(case, visit), equivalent_d(visit)))


def days_after_surgery(case: Case, visit: Case) -> int | None:
    """Whole days from surgery to the visit, if both dates are known or a file gave the days."""
    if case["surgery_on"] is None or visit["on"] is None:
        given: int | None = visit["days_after"]
        return None if given is None else int(given)
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
        only: float | None = visit["se_d"] if visit["sphere_d"] is None else None
        return only
    given = visit["vertex_mm"]
    from_mm = STANDARD_VERTEX_MM if given is None else given
    try:
        return spherical_equivalent_at_d(refraction, from_mm=from_mm, to_mm=STANDARD_VERTEX_MM)
    except GuylineError:
        return None


def decided_d(case: Case) -> float | None:
    """The prediction after the readings: the last decision's, or what was done if it departs."""
    return expected(case).value_d


def planned_refraction_d(case: Case, surgeon: SurgeonBelief | None = None) -> float | None:
    """What the plan expects of the lens implanted; ``None`` if it cannot be told.

    The base formula's refraction with the plan's own corrections (a contact scan reads short,
    short tunnels hold the lens deeper, an aphakic reading, what ``surgeon`` has learned), so that
    it is the number the plan screen showed.
    """
    view = planned_view(case, surgeon)
    return None if view is None else view.linear(REFERENCE_OUTSIDE_MM).value_d


def planned_view(case: Case, surgeon: SurgeonBelief | None = None) -> FinalView | None:
    """What the plan expects of the lens implanted, for any length outside."""
    target = case["plan"]["target_d"] or 0.0
    untouched = {**case, "readings": [], "haptic_log": [], "plan": {**case["plan"], "target_d": target}}
    try:
        plain, _ = plain_case(untouched, Notes())
        learned = surgeon if surgeon is not None and not case["ignore_history"] else no_history()
        return FinalView.of(plain.eye, prior_belief(next_priors(learned, plain.priors)))
    except GuylineError:
        return None


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
        reasons.append(say(
            "It is day {days}; refractions count from day {first_counting_day}.",
            days=days, first_counting_day=FIRST_COUNTING_DAY,
        ))
    return [*reasons, *_unsettled(visit)]


def _unsettled(visit: Case) -> list[str]:
    iop, cdva = visit["iop_mmhg"], visit["cdva_logmar"]
    reasons = [say(
        "The eye has {unsettled}.",
        unsettled=UNSETTLED[word],
    ) for word in visit["complications"] or ()
               if word in UNSETTLED]
    if iop is not None and not LOW_IOP_MMHG <= iop <= HIGH_IOP_MMHG:
        reasons.append(say(
            "IOP {iop} mmHg is not between {low_iop_mmhg} and {high_iop_mmhg}.",
            iop=f"{iop:g}", low_iop_mmhg=f"{LOW_IOP_MMHG:g}", high_iop_mmhg=f"{HIGH_IOP_MMHG:g}",
        ))
    if cdva is not None and cdva > WORST_CDVA_LOGMAR:
        reasons.append(say(
            "Corrected acuity {cdva} logMAR is worse than {worst_cdva_logmar}.",
            cdva=f"{cdva:.2f}", worst_cdva_logmar=f"{WORST_CDVA_LOGMAR:.2f}",
        ))
    if visit["cdva_low"] is not None:
        reasons.append(say(
            "Corrected acuity, {acuity_text}, is worse than 6/24.",
            acuity_text=acuity_text(None, visit["cdva_low"]),
        ))
    return reasons
