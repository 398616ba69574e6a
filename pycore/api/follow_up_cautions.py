"""What to do about what a visit shows, in full sentences.

The table says for each complication what should happen next. These are reminders of common
practice, not a protocol; local rules and the surgeon's judgement come first.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from pycore.api.case_follow_up import HIGH_IOP_MMHG, LOW_IOP_MMHG, VisitNumbers
from pycore.api.wording import quantity
from pycore.records.case import Case
from pycore.records.schedule import FIRST_COUNTING_DAY

#: A refraction this far from its prediction is a surprise, D (our judgement).
SURPRISE_D: Final = 1.0
#: Up to this day a surprise is looked for in the eye, not in the lens (our judgement).
EARLY_DAYS: Final = 7
#: From this sphere on 2 mm of vertex distance matter: more than 0.05 D.
VERTEX_MATTERS_D: Final = 5.0

Caution = dict[str, Any]

#: What to do, by complication; common practice, no source.
ACTIONS: Final = {
    "wound_leak": "Test every wound and both tunnels for a leak, and measure the IOP again.",
    "shallow_chamber": "Measure the IOP, look for a leak, and look behind the lens: choroid, pupil block.",
    "gas_in_eye": "Do not refract until gas or air is gone.",
    "optic_capture": "The iris has caught the optic: dilate, lie the patient on the back, and check that the "
                     "iridectomy is open. Refract again once the optic is free.",
    "flange_exposed": "An exposed flange lets germs in: cover or bury it again soon, and look for "
                      "inflammation.",
    "endophthalmitis": "This is an emergency: treat it now.",
    "retinal_detachment": "Refer to a retinal surgeon today.",
    "haptic_slip": "A haptic has slipped: look at both flanges and at the centration before acting on the "
                   "refraction.",
    "haptic_break": "A haptic is broken or kinked: check centration and tilt, and plan whether to re-fix.",
    "lens_dislocation": "The lens is dislocated: examine the retina and plan re-fixation or removal.",
}


def visit_cautions(path: str, visit: Case, numbers: VisitNumbers) -> list[Caution]:
    """Everything to say about one standing visit."""
    return [
        *_refraction(path, numbers), *_pressure(path, visit), *_complications(path, visit),
        *_vertex(path, visit),
    ]


def _caution(code: str, field: str, message: str) -> Caution:
    return {"code": code, "field": field, "message": message}


def _refraction(path: str, numbers: VisitNumbers) -> Iterator[Caution]:
    if numbers.se_d is None or numbers.days is None:
        return
    early = numbers.days < FIRST_COUNTING_DAY
    error_d = _surprise_d(numbers)
    if error_d is not None and numbers.days <= EARLY_DAYS:
        yield _caution("early_surprise", f"{path}.sphere_d", _early_text(numbers.days, error_d))
    elif early:
        yield _caution(
            "too_early", f"{path}.sphere_d",
            f"The refraction of day {numbers.days} does not count yet: it still changes. It is judged "
            f"from day {FIRST_COUNTING_DAY} on.",
        )
    elif error_d is not None:
        yield _caution("surprise", f"{path}.sphere_d", _late_text(numbers.days, error_d))


def _surprise_d(numbers: VisitNumbers) -> float | None:
    """The difference from the prediction if it is a surprise; the plan's if nothing was read."""
    error_d = numbers.plan_error_d if numbers.error_d is None else numbers.error_d
    return None if error_d is None or abs(error_d) < SURPRISE_D else error_d


def _early_text(days: int, error_d: float) -> str:
    return (
        f"Day {days}: the refraction is {_apart(error_d)} the prediction. Check the IOP, the depth "
        "of the chamber, the position of the optic (capture, tilt, a slipped haptic) and whether gas or "
        f"air is left. Do not act on the refraction; it counts from day {FIRST_COUNTING_DAY} on."
    )


def _late_text(days: int, error_d: float) -> str:
    return (
        f"Day {days}: the refraction is {_apart(error_d)} the prediction. Repeat it, check the "
        "IOP, the cornea, the macula and the position of the lens, and measure the eye again before "
        "anything is changed."
    )


def _apart(error_d: float) -> str:
    return f"{quantity(error_d, 'refraction_d')}, {'more myopic' if error_d < 0 else 'more hyperopic'} than"


def _pressure(path: str, visit: Case) -> Iterator[Caution]:
    iop = visit["iop_mmhg"]
    if iop is None:
        return
    if iop < LOW_IOP_MMHG:
        yield _caution(
            "low_iop", f"{path}.iop_mmhg",
            f"IOP {quantity(iop, 'iop_mmhg')} is low: test wounds and tunnels for a leak and look at the "
            "choroid. The refraction of a soft eye is not its own; repeat it later.",
        )
    elif iop > HIGH_IOP_MMHG:
        yield _caution(
            "high_iop", f"{path}.iop_mmhg",
            f"IOP {quantity(iop, 'iop_mmhg')} is high: treat it, and look for pupil block and retained "
            "viscoelastic.",
        )


def _complications(path: str, visit: Case) -> Iterator[Caution]:
    for word in visit["complications"] or ():
        if word in ACTIONS:
            yield _caution(word, f"{path}.complications", ACTIONS[word])


def _vertex(path: str, visit: Case) -> Iterator[Caution]:
    sphere_d = visit["sphere_d"]
    if sphere_d is None or visit["vertex_mm"] is not None or abs(sphere_d) < VERTEX_MATTERS_D:
        return
    yield _caution(
        "vertex_missing", f"{path}.vertex_mm",
        "The vertex distance was not entered and is taken as 12 mm. At this refraction it matters: "
        "enter it.",
    )
