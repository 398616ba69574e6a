"""What the irreversible step rules out, and what the advice rests on, in words for the screen.

Haptic does not grow back: what is cut leaves only the way further forward, and a flange closes
the way to another lens. Tests: ``tests/unit/test_theatre_decision.py``.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.titration_notes import drawn_out_words
from pycore.api.wording import quantity
from pycore.planning.titrate import Case, Titration
from pycore.planning.titration import Option
from pycore.words import say

#: Shorter than the callipers can tell, mm: nothing is cut.
_NOTHING_MM: Final = 0.05
_NO_OTHER_LENS: Final = (
    "With its flanges another lens needs the wound open again and a flange cut off."
)
_LAST: Final = "After the second flange haptic length changes nothing but by cutting a flange off."
PLAN_ALONE: Final = "the plan alone, without a reading"


def rules_out(case: Case, option: Option) -> list[str]:
    """What is no longer possible once this option is done."""
    if case.haptic_state == "both_free":
        return [*_way_back(case, option), _NO_OTHER_LENS]
    if case.haptic_state == "one_flanged":
        return [_LAST, _NO_OTHER_LENS]
    return _way_back(case, option)


def _way_back(case: Case, option: Option) -> list[str]:
    """Less than this cannot be cut any more; burying deeper gives back a little."""
    if max(option.cut_mm) < _NOTHING_MM:
        return []
    back = drawn_out_words(case.eye.lens_power_d)[1]
    expect = quantity(option.final.mean_d, "refraction_d")
    return [say(
        "What is cut cannot be put back: the eye can then not be set more {back} than about {expect}.",
        back=back, expect=expect,
    )]


def rests_on(readings: int) -> str:
    """How much was read."""
    if readings == 0:
        return PLAN_ALONE
    return "1 reading" if readings == 1 else say("{readings} readings", readings=readings)


def plan_alone_value(titration: Titration, readings: int) -> dict[str, Any] | None:
    """Said where no reading can be had: what the answer rests on, and how wide it is."""
    if readings:
        return None
    final = titration.advice.option.final
    low, high = quantity(final.low80_d, "refraction_d"), quantity(final.high80_d, "refraction_d")
    return {
        "heading": "From the plan alone",
        "message": say(
            "No reading was taken: 80 % of such eyes end anywhere from {low} to {high}. One reading with "
            "any instrument narrows that most. If none can be had, centre, and cut only what is advised.",
            low=low, high=high,
        ),
    }
