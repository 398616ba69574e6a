"""What else could help when the target is out of reach, as an answer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from pycore.api.box_items import CONSTANTS, usable
from pycore.api.titration_items import CHANCES, outcome_value, reach_value
from pycore.api.wording import quantity
from pycore.belief.eye import EyeModel
from pycore.errors import GuylineError
from pycore.fields import FIELDS
from pycore.planning.another_entry import COSTS as ENTRY_COSTS
from pycore.planning.another_entry import AnotherEntry, another_entry
from pycore.planning.other_options import (
    COSTS,
    LEAST_RESIDUAL_D,
    AnotherLens,
    Second,
    another_lens,
    best_of,
)
from pycore.planning.titrate import Case, Titration
from pycore.planning.titration import WITHIN_D
from pycore.words import joined, say

_STEP_D: Final = 0.5
_STEPS: Final = 12

_ACCEPT: Final = "Accept the result: spectacles, contact lens or corneal surgery remain possible."

_ENTRY_SAY: Final = "Your own eyes settle what it does. First repeat a reading."
_FIRST: Final = "First repeat a reading and check the power on the box."
_UNMET: Final = {
    "residual_small": say(
        "the residual after titration is under {least_residual_d} D",
        least_residual_d=f"{LEAST_RESIDUAL_D:.2f}",
    ),
    "gain_small": "the chance within 0.50 D would rise by less than 25 points",
    "flanged": "a haptic has its flange: only if it is reopened",
    "soft_eye": "the eye is soft and reads hyperopic: bring the pressure up and read again",
    "not_repeated": "the surprise was read only once: repeat the reading",
}


def other_options_value(
    case: Case,
    titration: Titration,
    *,
    iop_mmhg: float | None,
    at_hand: Sequence[AtHand] | None = None,
    entries_mm: Sequence[float] = (),
) -> list[dict[str, Any]]:
    """Accepting first, then another lens, then another entry; empty while the target is within reach.

    With a box (``at_hand``) only its lenses are offered, by their own names. ``entries_mm`` are the
    distances whose effect the surgeon's own eyes settle; without them another entry is not named.
    """
    final = titration.advice.option.final
    residual = final.mean_d - case.target_d
    if abs(residual) < LEAST_RESIDUAL_D:
        return []
    if at_hand is None:
        found = another_lens(case, titration, _powers(case.eye.lens_power_d), iop_mmhg=iop_mmhg)
    else:
        found = best_of(case, titration, (one.second for one in at_hand), iop_mmhg=iop_mmhg)
    accept = _accept_value(residual, final.chance_within(WITHIN_D, target_d=case.target_d))
    lens = [] if found is None else [_lens_value(found, case, at_hand or ())]
    entry = another_entry(case, titration, entries_mm, iop_mmhg=iop_mmhg)
    return [accept, *lens, *([] if entry is None else [_entry_value(entry, case)])]


def _accept_value(residual_d: float, chance: float) -> dict[str, Any]:
    return {
        "option": "accept",
        "offered": True,
        "title": "Accept the result",
        "message": _ACCEPT,
        "say": "Spectacles, contact lens or corneal surgery remain possible.",
        CHANCES[1][0]: chance,
        "residual_d": residual_d,
        "costs": [say(
            "about {residual_d} from target to correct otherwise",
            residual_d=quantity(residual_d, "refraction_d"),
        )],
    }


@dataclass(frozen=True, slots=True)
class AtHand:
    """A lens of the box, ready to be judged in this eye."""

    label: str
    second: Second


def lenses_at_hand(
    rows: list[dict[str, Any]] | None,
    own: dict[str, Any],
    eye_with: Callable[[dict[str, Any]], EyeModel],
    *,
    formula: str,
    today: date | None,
) -> list[AtHand] | None:
    """The usable lenses of a box; ``None`` without a box, so that any half dioptre will do.

    ``own`` holds the constants of the lens in the eye: a lens with the same ones counts as the
    same model. A lens that no eye can be computed for is not offered.
    """
    if not rows:
        return None
    found = []
    for one in usable(rows, formula=formula, today=today).stock:
        same = all(one.row[name] == own.get(name) for name in CONSTANTS)
        with suppress(GuylineError):
            found.append(AtHand(one.label, Second(eye_with(one.row), same)))
    return found


def _lens_value(found: AnotherLens, case: Case, at_hand: Sequence[AtHand]) -> dict[str, Any]:
    return {
        "option": "another_lens",
        "offered": found.offered,
        "title": say("Another lens, {found}", found=_label(found, at_hand)),
        "message": _message(found, _label(found, at_hand)),
        "say": _FIRST if found.offered else say("Not advised: {found}.", found=_why_not(found)),
        "lens_power_d": found.outlook.lens_power_d,
        CHANCES[1][0]: found.outlook.titrated_within_050,
        "chance_now": found.chance_now,
        "plan": outcome_value(found.outlook.plan, target_d=case.target_d),
        "reach": reach_value(found.outlook.reach),
        "unmet": list(found.unmet),
        "costs": list(COSTS),
    }


def _entry_value(found: AnotherEntry, case: Case) -> dict[str, Any]:
    return {
        "option": "another_entry",
        "offered": found.offered,
        "title": say(
            "Another entry, {entry_mm} behind the limbus",
            entry_mm=quantity(found.entry_mm, "entry_mm"),
        ),
        "message": _entry_message(found, case),
        "say": _ENTRY_SAY if found.offered else say("Not advised: {found}.", found=_why_not(found)),
        "entry_mm": found.entry_mm,
        CHANCES[1][0]: found.outlook.titrated_within_050,
        "chance_now": found.chance_now,
        "plan": outcome_value(found.outlook.plan, target_d=case.target_d),
        "reach": reach_value(found.outlook.reach),
        "unmet": list(found.unmet),
        "costs": list(ENTRY_COSTS),
    }


def _entry_message(found: AnotherEntry, case: Case) -> str:
    if not found.offered:
        return say("Another entry distance is not advised: {found}.", found=_why_not(found))
    effect = case.priors["entry_effect"].mean
    return (
        say(
            "Entering the sclera again at {entry_mm} instead of {entry_mm2} would raise the chance "
            "within 0.50 D from {chance_now} to {titrated_within_050}, at the cost of {listed}. In your "
            "own eyes the lens lies {effect} mm {value} for each mm of entry further back. First repeat "
            "a reading.",
            entry_mm=quantity(found.entry_mm, "entry_mm"),
            entry_mm2=quantity(case.eye.entry_mm, "entry_mm"), chance_now=f"{found.chance_now:.0%}",
            titrated_within_050=f"{found.outlook.titrated_within_050:.0%}", listed=joined(", ", ENTRY_COSTS),
            effect=f"{abs(effect):.2f}", value="deeper" if effect > 0 else "less deep",
        )
    )


def _label(found: AnotherLens, at_hand: Sequence[AtHand]) -> str:
    """Power and name of the lens found; the power alone when it is of no box."""
    named = (one.label for one in at_hand if one.second.eye is found.eye)
    return next(named, quantity(found.outlook.lens_power_d, "lens_power_d"))


def _message(found: AnotherLens, label: str) -> str:
    if not found.offered:
        return say("Another lens is not advised: {found}.", found=_why_not(found))
    chances = say(
        "{chance_now} to {titrated_within_050}",
        chance_now=f"{found.chance_now:.0%}",
        titrated_within_050=f"{found.outlook.titrated_within_050:.0%}",
    )
    return (
        say(
            "Another lens ({label}) would raise the chance within 0.50 D from {chances}, at the cost of "
            "{listed}. {first}",
            label=label, chances=chances, listed=joined(", ", COSTS), first=_FIRST,
        )
    )


def _why_not(found: AnotherLens | AnotherEntry) -> str:
    return joined("; ", (_UNMET[word] for word in found.unmet))


def _powers(power_d: float) -> list[float]:
    """Half dioptres around the lens in the eye, as far as lenses exist."""
    entry = FIELDS["lens_power_d"]
    powers = (power_d + _STEP_D * step for step in range(-_STEPS, _STEPS + 1))
    return [p for p in powers if (entry.lowest or 0.0) <= p <= (entry.highest or 0.0)]


def latest_iop_mmhg(readings: list[dict[str, Any]]) -> float | None:
    """Pressure at the latest reading that recorded one."""
    known = [entry["iop_mmhg"] for entry in readings if entry["iop_mmhg"] is not None]
    return known[-1] if known else None
