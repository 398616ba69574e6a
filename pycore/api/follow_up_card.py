"""The follow-up card for a local clinic: what was done, when to look, and at what.

What to look at and when to call are common practice in published series of this surgery; local
rules come first. The card names no person and no place.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from pycore.api.case_done import expected, last_decision
from pycore.api.case_follow_up import HIGH_IOP_MMHG, LOW_IOP_MMHG
from pycore.api.follow_up_cautions import EARLY_CHECKS
from pycore.api.note_words import (
    entries_text,
    eye_text,
    haptic_names,
    lens_text,
    outcome_text,
    section,
    written,
)
from pycore.api.wording import quantity
from pycore.records.case import Case
from pycore.records.finding import Today
from pycore.records.schedule import FIRST_COUNTING_DAY, due_visits, planned_visits
from pycore.words import say

_TITLE: Final = "FOLLOW-UP CARD: lens fixed to the sclera by two flanged haptics"

_EACH_VISIT: Final = (
    "Acuity without and with correction (write down the notation)",
    "IOP; wounds and tunnels for a leak; depth of the chamber",
    "Optic behind the iris all round, centred; look again after dilating",
    "Both flanges covered by conjunctiva",
)
_FROM_MONTH_1: Final = (
    "Refraction with its method and vertex distance; keratometry",
    "Macula; from month 3 also depth, tilt and centration of the lens",
)
#: Reasons to call; common practice, no source.
_CALL: Final = (
    "Pain, redness or loss of sight",
    say(
        "IOP under {low_iop_mmhg} or over {high_iop_mmhg} mmHg",
        low_iop_mmhg=f"{LOW_IOP_MMHG:.0f}", high_iop_mmhg=f"{HIGH_IOP_MMHG:.0f}",
    ),
    "A flange that lies open, or thin conjunctiva over it",
    "Iris caught by the optic, a shallow chamber, a leaking wound",
    "Flashes, floaters, a curtain; a lens that has moved",
)
_SEND: Final = (
    "Date, acuities, refraction with method, IOP, lens position, complications with day and treatment",
)


def follow_up_card(case: Case, today: Today, *, dates: bool) -> str:
    """The whole card on one page; ``dates`` puts in when each visit is due."""
    lines = [
        _TITLE, "",
        *section("Eye", _eye(case)),
        *section("Visits", _visits(case, today, dates=dates)),
        *section("At each visit", _listed(_EACH_VISIT)),
        *section("From month 1", _listed(_FROM_MONTH_1)),
        *section(say(
            "A surprising refraction before day {first_counting_day}: do not act on it, check",
            first_counting_day=FIRST_COUNTING_DAY,
        ),
                 _listed(EARLY_CHECKS)),
        *section("Call or refer the same day", _listed(_CALL)),
        *section("Please send back", _SEND),
    ]
    return written(lines)


def _listed(lines: tuple[str, ...]) -> Iterator[str]:
    return (say("- {line}", line=line) for line in lines)


def _eye(case: Case) -> Iterator[str]:
    first, second = haptic_names(case)
    yield say("{case}; {case2}", case=eye_text(case), case2=lens_text(case))
    yield say(
        "Flanges under the conjunctiva: {first}, {second}; entries {case}",
        first=first, second=second, case=entries_text(case),
    )
    yield say(
        "Target {target_d}; {case}",
        target_d=quantity(case["plan"]["target_d"], "target_d"), case=_expected(case),
    )


def _expected(case: Case) -> str:
    """From what was done if it departs from the decision, else the decision with its interval."""
    found, decision = expected(case), last_decision(case)
    if found.source == "decision" and decision is not None:
        return say("expected about one month after surgery: {decision}", decision=outcome_text(decision))
    if found.value_d is None:
        return "no prediction after readings"
    return say("expected about one month after surgery: {value_d}", value_d=quantity(found.value_d, "mean_d"))


def _visits(case: Case, today: Today, *, dates: bool) -> Iterator[str]:
    known = {due.slot.label: due.on for due in due_visits(case, today)} if dates else {}
    for slot in planned_visits():
        when = known.get(slot.label)
        yield say("- {label} (day {day})", label=slot.label, day=slot.day) + (say(
            ": {when}",
            when=when,
        ) if when else "")
    yield "- then once a year: both flanges"
