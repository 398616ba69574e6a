"""What else could help when the target is out of reach, as an answer."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.titration_items import CHANCES, outcome_value, reach_value
from pycore.api.wording import quantity
from pycore.fields import FIELDS
from pycore.planning.other_options import COSTS, LEAST_RESIDUAL_D, AnotherLens, another_lens
from pycore.planning.titrate import Case, Titration

_STEP_D: Final = 0.5
_STEPS: Final = 12

ACCEPT: Final = {
    "option": "accept",
    "message": "Accept the result: spectacles, contact lens or corneal surgery remain possible.",
}

_UNMET: Final = {
    "residual_small": f"the residual after titration is under {LEAST_RESIDUAL_D:.2f} D",
    "gain_small": "the chance within 0.50 D would rise by less than 25 points",
    "flanged": "a haptic has its flange: only if it is reopened",
    "soft_eye": "the eye is soft and reads hyperopic: bring the pressure up and read again",
    "not_repeated": "the surprise was read only once: repeat the reading",
}


def other_options_value(
    case: Case, titration: Titration, *, iop_mmhg: float | None
) -> list[dict[str, Any]]:
    """Accepting first, then another lens; empty while the target is within reach."""
    residual = titration.advice.option.final.mean_d - case.target_d
    if abs(residual) < LEAST_RESIDUAL_D:
        return []
    found = another_lens(case, titration, _powers(case.eye.lens_power_d), iop_mmhg=iop_mmhg)
    return [ACCEPT] if found is None else [ACCEPT, _lens_value(found, case)]


def _lens_value(found: AnotherLens, case: Case) -> dict[str, Any]:
    return {
        "option": "another_lens",
        "offered": found.offered,
        "message": _message(found),
        "lens_power_d": found.outlook.lens_power_d,
        CHANCES[1][0]: found.outlook.titrated_within_050,
        "chance_now": found.chance_now,
        "plan": outcome_value(found.outlook.plan, target_d=case.target_d),
        "reach": reach_value(found.outlook.reach),
        "unmet": list(found.unmet),
        "costs": list(COSTS),
    }


def _message(found: AnotherLens) -> str:
    chances = f"{found.chance_now:.0%} to {found.outlook.titrated_within_050:.0%}"
    if not found.offered:
        why = "; ".join(_UNMET[word] for word in found.unmet)
        return f"Another lens is not advised: {why}."
    return (
        f"Another lens ({quantity(found.outlook.lens_power_d, 'lens_power_d')}) would raise the chance "
        f"within 0.50 D from {chances}, at the cost of {', '.join(COSTS)}. First repeat a reading and "
        "check the power on the box."
    )


def _powers(power_d: float) -> list[float]:
    """Half dioptres around the lens in the eye, as far as lenses exist."""
    entry = FIELDS["lens_power_d"]
    powers = (power_d + _STEP_D * step for step in range(-_STEPS, _STEPS + 1))
    return [p for p in powers if (entry.lowest or 0.0) <= p <= (entry.highest or 0.0)]


def latest_iop_mmhg(readings: list[dict[str, Any]]) -> float | None:
    """Pressure at the latest reading that recorded one."""
    known = [entry["iop_mmhg"] for entry in readings if entry["iop_mmhg"] is not None]
    return known[-1] if known else None
