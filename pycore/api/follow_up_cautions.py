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
from pycore.words import say

#: A refraction this far from its prediction is a surprise, D (our judgement).
SURPRISE_D: Final = 1.0
#: What to look at before an early refraction is believed; common practice, no source.
EARLY_CHECKS: Final = (
    "IOP: a soft or a hard eye does not show its own refraction",
    "Depth of the chamber: shallow, or very deep with the iris bowed back (reverse pupil block)",
    "Optic: behind the iris all round (no capture), centred, not tilted",
    "Both flanges and haptics: in place, not slipped",
    "Gas, air, blood or viscoelastic left in the eye",
    "Cornea clear; wounds and tunnels tight",
)
#: By the sign of the surprise, what makes it likely; common practice, no source.
_MYOPIC: Final = (
    "More myopic is expected with a lens too far forward: shallow chamber, soft eye, choroidal swelling, "
    "captured optic."
)
_HYPEROPIC: Final = (
    "More hyperopic is expected with a lens too far back or a raised macula: reverse pupil block, a slipped "
    "haptic, macular oedema."
)
#: From this sphere on 2 mm of vertex distance matter: more than 0.05 D.
VERTEX_MATTERS_D: Final = 5.0

Caution = dict[str, Any]

#: What to do, by complication; common practice, no source.
ACTIONS: Final = {
    "wound_leak": "Test every wound and both tunnels for a leak, and measure the IOP again.",
    "shallow_chamber": "Measure the IOP, look for a leak, and look behind the lens: choroid, pupil block.",
    "gas_in_eye": "Do not refract until gas or air is gone.",
    "hypotony": "Test wounds and tunnels for a leak, look at the choroid, and measure the IOP again soon.",
    "vitreous_haemorrhage": "Look at the retina, by ultrasound if it cannot be seen; refract again "
                            "when it is clear.",
    "macular_oedema": "Scan and treat the macula; the refraction reads too hyperopic until it is dry.",
    "choroidal_detachment": "Look for a leak, measure the IOP again, and follow until it is flat; "
                            "the lens may sit further forward meanwhile.",
    "reverse_pupil_block": "The iris is bowed back onto the lens: open an iridectomy by laser, then "
                           "refract again.",
    "iris_chafe": "The iris rubs on the lens: look for pigment, a raised IOP and uveitis, and for a "
                  "tilted or decentred optic.",
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
        *_vertex(path, visit), *_flanges(path, visit), *_sutures(path, visit),
    ]


def _caution(code: str, field: str, message: str, checks: tuple[str, ...] = ()) -> Caution:
    return {"code": code, "field": field, "message": message, "checks": list(checks)}


def _refraction(path: str, numbers: VisitNumbers) -> Iterator[Caution]:
    if numbers.se_d is None or numbers.days is None:
        return
    early = numbers.days < FIRST_COUNTING_DAY
    error_d = _surprise_d(numbers)
    if error_d is not None and early:
        yield _caution(
            "early_surprise", f"{path}.sphere_d", _early_text(numbers.days, error_d), EARLY_CHECKS
        )
    elif early:
        yield _caution(
            "too_early", f"{path}.sphere_d",
            say(
                "The refraction of day {days} does not count yet: it still changes. It is judged from "
                "day {first_counting_day} on.",
                days=numbers.days, first_counting_day=FIRST_COUNTING_DAY,
            ),
        )
    elif error_d is not None:
        yield _caution("surprise", f"{path}.sphere_d", _late_text(numbers.days, error_d))


def _surprise_d(numbers: VisitNumbers) -> float | None:
    """The difference from the prediction if it is a surprise; the plan's if nothing was read."""
    error_d = numbers.plan_error_d if numbers.error_d is None else numbers.error_d
    return None if error_d is None or abs(error_d) < SURPRISE_D else error_d


def _early_text(days: int, error_d: float) -> str:
    return (
        say(
            "Day {days}: the refraction is {error_d} the prediction. Do not act on the refraction; it "
            "counts from day {first_counting_day} on. {value} Check the IOP, the chamber, the optic and "
            "for gas:",
            days=days, error_d=_apart(error_d), first_counting_day=FIRST_COUNTING_DAY,
            value=_MYOPIC if error_d < 0 else _HYPEROPIC,
        )
    )


def _late_text(days: int, error_d: float) -> str:
    return (
        say(
            "Day {days}: the refraction is {error_d} the prediction. Repeat it, check the IOP, the "
            "cornea, the macula and the position of the lens, and measure the eye again before anything "
            "is changed.",
            days=days, error_d=_apart(error_d),
        )
    )


def _apart(error_d: float) -> str:
    return say(
        "{error_d}, {value} than",
        error_d=quantity(error_d, "refraction_d"),
        value="more myopic" if error_d < 0 else "more hyperopic",
    )


def _pressure(path: str, visit: Case) -> Iterator[Caution]:
    iop = visit["iop_mmhg"]
    if iop is None:
        return
    if iop < LOW_IOP_MMHG:
        yield _caution(
            "low_iop", f"{path}.iop_mmhg",
            say(
                "IOP {iop} is low: test wounds and tunnels for a leak and look at the choroid. The "
                "refraction of a soft eye is not its own; repeat it later.",
                iop=quantity(iop, "iop_mmhg"),
            ),
        )
    elif iop > HIGH_IOP_MMHG:
        yield _caution(
            "high_iop", f"{path}.iop_mmhg",
            say(
                "IOP {iop} is high: treat it, and look for pupil block and retained viscoelastic.",
                iop=quantity(iop, "iop_mmhg"),
            ),
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


def _flanges(path: str, visit: Case) -> Iterator[Caution]:
    """Thin cover comes before exposure."""
    if visit["flange_check"] == "exposed" and "flange_exposed" not in (visit["complications"] or ()):
        yield _caution("flange_exposed", f"{path}.flange_check", ACTIONS["flange_exposed"])
    elif visit["flange_check"] == "thin":
        yield _caution(
            "flange_thin", f"{path}.flange_check",
            "The cover over a flange is thin: see the eye again within weeks, and cover it before it opens.",
        )


def _sutures(path: str, visit: Case) -> Iterator[Caution]:
    if visit["sutures"] == "removed" and visit["sphere_d"] is not None:
        yield _caution(
            "sutures_removed", f"{path}.sutures",
            "Sutures came out at this visit: the cylinder still changes. Refract again in a few weeks.",
        )
