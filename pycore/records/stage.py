"""Which of the three stages an eye is in, and what it waits for."""

from __future__ import annotations

from typing import Final, Literal

from pycore.records.case import Case, standing
from pycore.records.finding import Today
from pycore.records.haptic_entries import both_buried
from pycore.records.moments import as_date

Stage = Literal["plan", "theatre", "follow_up"]
STAGES: Final[tuple[Stage, ...]] = ("plan", "theatre", "follow_up")


def stage(case: Case, today: Today) -> Stage:
    """``plan`` until a plan was read back, ``theatre`` until surgery ended, then ``follow_up``.

    Surgery has ended when its date was entered and has come, when both flanges are buried in
    the log, or when a visit after it was entered.
    """
    if _ended(case, today):
        return "follow_up"
    return "theatre" if plan_was_read_back(case) else "plan"


def plan_was_read_back(case: Case) -> bool:
    """Whether a plan was ever read back for this eye."""
    return any(row["kind"] == "plan" for row in case["readbacks"])


def _ended(case: Case, today: Today) -> bool:
    if standing(case, "follow_ups") or both_buried(case):
        return True
    day = None if case["surgery_on"] is None else as_date(case["surgery_on"])
    return day is not None and day <= today.latest
