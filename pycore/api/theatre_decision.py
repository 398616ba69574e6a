"""The decision to be read back: the advice, or the surgeon's own cut with its own prediction.

Also whether the log is open for what cannot be undone: a cut that was not read back is logged
only when that is said. Tests: ``tests/unit/test_theatre_decision.py``.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.schema import Notes, number, optional, pair
from pycore.api.titration_items import outcome_value
from pycore.api.titration_notes import drawn_out_words
from pycore.api.wording import quantity
from pycore.fixation.haptic import Pair, taut_mm
from pycore.planning.titrate import Case, Titration
from pycore.planning.titration import Option, option_for_cuts
from pycore.records.moments import after
from pycore.words import say

CUT_ITEM = optional(
    "cut_mm", pair(number("cut_mm")), about="The surgeon's own cuts, first and second haptic."
)
#: Steps that cannot be undone, and so need the cut read back first.
IRREVERSIBLE: Final = ("cut", "melt")
#: Cuts that round to the same tenth are the advised ones, mm.
_SAME_CUT_MM: Final = 0.05


def decided_option(case: Case, titration: Titration, cut_mm: Pair | None, notes: Notes) -> Option:
    """The option to read back: the advised one unless other cuts are asked for."""
    advised = titration.advice.option
    if cut_mm is None or _alike(cut_mm, advised.cut_mm):
        return advised
    if case.haptic_state != "both_free":
        notes.warn("own_cut_not_possible", "A flange is made already: your own cuts cannot be predicted "
                   "here. The advice stands.", field="cut_mm")
        return advised
    own = option_for_cuts(titration.view, case.plan, cut_mm)
    taut = taut_mm(case.plan)
    if own.outside_mm > taut + _SAME_CUT_MM:
        notes.warn(
            "own_cut_beyond_taut",
            say(
                "These cuts need {outside_mm} outside, the haptics are taut at {taut}. Cut less.",
                outside_mm=quantity(own.outside_mm, "outside_mm"), taut=quantity(taut, "outside_mm"),
            ),
            field="cut_mm",
        )
    return own


def _alike(first: Pair, second: Pair) -> bool:
    return all(abs(a - b) <= _SAME_CUT_MM for a, b in zip(first, second, strict=True))


def decision_value(case: Case, titration: Titration, option: Option, *, readings: int) -> dict[str, Any]:
    """The row that is stored once it was read back, without name, time and version."""
    chosen = outcome_value(option.final, target_d=case.target_d)
    own = option is not titration.advice.option
    return {
        "outside_mm": option.outside_mm,
        "cut_a_mm": option.cut_mm[0],
        "cut_b_mm": option.cut_mm[1],
        "melt_mm": case.plan.melt_mm,
        "bury_mm": case.plan.bury_mm,
        **{key: chosen[key] for key in ("mean_d", "sd_d", "low80_d", "high80_d", "within_050")},
        "no_useful_adjustment": titration.advice.no_useful_adjustment,
        "readings_used": readings,
        "decided_as": "own" if own else "advised",
        "advised_outside_mm": titration.advice.option.outside_mm,
    }


def own_text(case: Case, titration: Titration, option: Option) -> str | None:
    """What the surgeon's own cut changes against the advice; ``None`` when it is the advice."""
    advised = titration.advice.option
    if option is advised:
        return None
    return (
        say(
            "Your own cut leaves {outside_mm} to the original tips, the advice {outside_mm2}. Expect "
            "{mean_d} instead of {mean_d2}: {option}.",
            outside_mm=quantity(option.outside_mm, "outside_mm"),
            outside_mm2=quantity(advised.outside_mm, "outside_mm"),
            mean_d=quantity(option.final.mean_d, "mean_d"),
            mean_d2=quantity(advised.final.mean_d, "mean_d"),
            option=way_of(option, advised, lens_power_d=case.eye.lens_power_d),
        )
    )


def way_of(own: Option, advised: Option, *, lens_power_d: float) -> str | None:
    """What other cuts change against the advised ones; ``None`` for the advised ones themselves."""
    if _alike(own.cut_mm, advised.cut_mm):
        return None
    forward, back = drawn_out_words(lens_power_d)
    if abs(own.outside_mm - advised.outside_mm) <= _SAME_CUT_MM:
        return "the lens as deep, but shifted toward the side that is cut more"
    if own.outside_mm > advised.outside_mm:
        return say("more cut, lens further forward, more {forward}", forward=forward)
    return say("less cut, lens further back, more {back}", back=back)


def log_gate(case: dict[str, Any]) -> dict[str, Any]:
    """Whether cutting and melting may be logged, and why not."""
    reason = _closed(case)
    return {"open": reason is None, "reason": reason, "steps": list(IRREVERSIBLE)}


def _closed(case: dict[str, Any]) -> str | None:
    cuts = [row["at"] for row in case["readbacks"] if row["kind"] == "cut"]
    if not cuts:
        return "The cut was not read back. Read it back first, or log that it was not."
    since = [row for row in case["readings"] if row["withdrawn"] is None and after(row["at"], cuts[-1])]
    if since:
        return "A reading was taken since the cut was read back. Read it back again, or log that it was not."
    return None
