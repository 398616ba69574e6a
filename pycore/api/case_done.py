"""What the log says was done, and the refraction to expect from it.

The decision predicts for the length that was decided. When both flanges were made and the log
left another length outside, the prediction moves by what the belief after the readings says
lies between the two lengths::

    predicted = decided + final(left outside) - final(decided outside)

so that the level of the decision (the surgeon's own history then) is kept. Without a decision
the belief after the readings predicts by itself. More left outside -> lens further forward ->
more myopic. Checked by ``tests/unit/test_case_done.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from pycore.api.case_numbers import haptics_now, plain_case, reading_request, reading_requests
from pycore.api.reading_items import READING, REFUSED_FILL, original_lengths_mm, reading_equivalent_d
from pycore.api.schema import Notes
from pycore.api.wording import quantity
from pycore.belief.outcome import FinalView
from pycore.belief.readings import after_readings, prior_belief
from pycore.errors import GuylineError
from pycore.fixation.haptic_log import USUAL_BURY_MM, HapticNow
from pycore.records.case import Case, standing
from pycore.records.haptic_entries import with_corrected_removals
from pycore.words import say

#: Lengths that differ by more than the rounding of two cuts to a tenth depart, mm.
DEPARTS_MM: Final = 0.1
_ROUNDING_MM: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Expected:
    """The prediction after the readings: from the ``decision``, or from the ``log``.

    ``text`` says so when what was done departs from what was decided.
    """

    value_d: float | None
    source: str | None
    left_mm: float | None = None
    decided_mm: float | None = None
    text: str | None = None


def left_outside_mm(case: Case) -> float | None:
    """Mean length to the original tips once both flanges are made; ``None`` before."""
    try:
        now = haptics_now(case)
    except GuylineError:
        return None
    if not all(haptic.flanged for haptic in now):
        return None
    bury_mm = case["plan"]["bury_mm"]
    depth = USUAL_BURY_MM if bury_mm is None else bury_mm
    return sum(_left_mm(haptic, depth) for haptic in now) / 2


def _left_mm(haptic: HapticNow, bury_mm: float) -> float:
    """Where it was buried, or as it was to be."""
    if haptic.buried and haptic.original_mm is not None:
        return haptic.original_mm
    return haptic.removed_mm - bury_mm


def last_decision(case: Case) -> Case | None:
    """The last decision that predicts something."""
    found = [row for row in case["decisions"] if row["mean_d"] is not None]
    return found[-1] if found else None


def expected(case: Case) -> Expected:
    """What to expect from what was done, as far as the record tells."""
    decision, left = last_decision(case), left_outside_mm(case)
    decided = None if decision is None else decision["outside_mm"]
    if decision is None:
        value = None if left is None else _read_at(case, left)
        return Expected(value, None if value is None else "log", left)
    if left is None or decided is None or abs(left - decided) <= DEPARTS_MM + _ROUNDING_MM:
        return Expected(decision["mean_d"], "decision", left, decided)
    return _departed(case, decision["mean_d"], left, decided)


def _departed(case: Case, decided_d: float, left: float, decided: float) -> Expected:
    there = (
        say(
            "The log leaves {left} outside, {decided} was decided",
            left=quantity(left, "outside_mm"), decided=quantity(decided, "outside_mm"),
        )
    )
    view = _view(case)
    if view is None:
        return Expected(decided_d, "decision", left, decided,
                        say("{there}; what that changes cannot be predicted from this record.", there=there))
    value = decided_d + view.at(left).mean_d - view.at(decided).mean_d
    text = (
        say(
            "{there}: {value} is expected from what was done, {decided_d} was decided.",
            there=there, value=quantity(value, "mean_d"), decided_d=quantity(decided_d, "mean_d"),
        )
    )
    return Expected(value, "log", left, decided, text)


def _read_at(case: Case, outside_mm: float) -> float | None:
    """The belief's own prediction; nothing without a reading, which is then the plan's."""
    view = _view(case) if any(readable(entry) for entry in standing(case, "readings")) else None
    return None if view is None else view.at(outside_mm).mean_d


def _view(case: Case) -> FinalView | None:
    used = [entry for entry in standing(case, "readings") if readable(entry)]
    target = case["plan"]["target_d"]
    plan = {**case["plan"], "target_d": 0.0 if target is None else target}
    whole = with_corrected_removals({**case, "plan": plan, "readings": used})
    try:
        plain, _ = plain_case(whole, Notes(), readings=reading_requests(whole))
        after = after_readings(plain.eye, prior_belief(plain.priors), plain.readings)
        return FinalView.of(plain.eye, after.belief)
    except GuylineError:
        return None


def readable(entry: dict[str, Any]) -> bool:
    """Whether a stored reading says something."""
    if entry["fill"] in REFUSED_FILL:
        return False
    try:
        read = READING(reading_request(entry), "reading", Notes())
        original_lengths_mm(read, "reading")
        reading_equivalent_d(read, "reading")
    except GuylineError:
        return False
    return True
