"""Parts of a note that the operation note and the follow-up card share.

A note is plain text made of glossary words and numbers only: no name, date of birth, hospital
number, case code, lens name or other free text of the record can reach it. Dates are left out
unless they are asked for. Checked by ``tests/unit/test_note_case.py``.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from pycore.api.case_numbers import both_sides
from pycore.api.plan_answers import clocks_value
from pycore.api.wording import quantity, word
from pycore.belief.eye import REFERENCE_ENTRY_MM
from pycore.fixation.clock import spoken
from pycore.records.case import Case
from pycore.words import joined, say, upper

RULE: Final = "\N{EN DASH}" * 24


def haptic_names(case: Case) -> tuple[str, str]:
    """Both haptics by clock hour, or by order until the meridian is known."""
    clocks = clocks_value(case)
    if clocks is None:
        return "first haptic", "second haptic"
    return say("haptic at {a}", a=spoken(clocks["a"])), say("haptic at {b}", b=spoken(clocks["b"]))


def both(first: float | None, second: float | None, field: str) -> str:
    """Two lengths of the two haptics; one if they are the same."""
    texts = (quantity(first, field), quantity(second, field))
    return texts[0] if texts[0] == texts[1] else joined(" and ", texts)


def entries_text(case: Case) -> str:
    """How far behind the limbus the haptics enter; an assumed distance says so."""
    plan = case["plan"]
    text = both(*both_sides(plan, "entry", REFERENCE_ENTRY_MM), "entry_mm")
    assumed = plan["entry_a_mm"] is None or plan["entry_b_mm"] is None
    return say("{text} behind the limbus{value}", text=text, value=" (assumed)" if assumed else "")


def outcome_text(row: dict[str, Any]) -> str:
    """A stored prediction with its interval."""
    mean = quantity(row["mean_d"], "mean_d")
    if row["low80_d"] is None or row["high80_d"] is None:
        return mean
    return say(
        "{mean} (80 %: {low80_d} to {high80_d})",
        mean=mean, low80_d=quantity(row["low80_d"], "low80_d"),
        high80_d=quantity(row["high80_d"], "high80_d"),
    )


def lens_text(case: Case) -> str:
    """The lens by its power alone: its name is free text."""
    return say(
        "three-piece lens, {lens_power_d}",
        lens_power_d=quantity(case["lens"]["lens_power_d"], "lens_power_d"),
    )


def eye_text(case: Case) -> str:
    return word(case["eye"], "eye")


def written(lines: Iterable[str]) -> str:
    """The lines of a note, without blank ones at its end, and a line end after the last."""
    kept = list(lines)
    while kept and not kept[-1]:
        kept.pop()
    return joined("\n", [*kept, ""])


def section(title: str, lines: Iterable[str]) -> list[str]:
    """A title and its lines, with a blank line after; nothing when there are no lines."""
    found = list(lines)
    return [upper(title), *found, ""] if found else []
