"""Warnings about readings and advice, in words that say what to do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from pycore.api.schema import Notes
from pycore.belief.readings import Reading
from pycore.fixation.haptic import FlangePlan
from pycore.planning.power_check import contradiction, may_hold_distance, surprises
from pycore.planning.slope import slope_of
from pycore.planning.titrate import (
    NAME_GROSS_CHANCE,
    REPEAT_GROSS_CHANCE,
    Case,
    Titration,
)
from pycore.planning.titration import LEAST_GAIN_D, LEAST_REACH_D
from pycore.words import say

#: Lengths past taut by more than the callipers' half step are impossible.
_PAST_TAUT_MM: Final = 0.25

_REASONS: Final = {
    "one_flanged": (
        "One haptic has its flange: the other one only centres the lens. Readings no longer "
        "change what to cut."
    ),
    "recut": "Both flanges are made: only more can be taken off, at least 1.0 mm a side.",
    "leave": "Both flanges are made: leave them. {back} only by burying a little deeper.",
    "buried": "Both flanges are buried: nothing useful is left to adjust.",
}


def note_readings(readings: Sequence[Reading], plan: FlangePlan, notes: Notes) -> None:
    """What does not fit about the readings themselves."""
    for index, reading in enumerate(readings):
        if reading.outside_mm > plan.drawn_out_mm + _PAST_TAUT_MM:
            _note_past_taut(index, reading, plan, notes)
    if any(reading.length_sd_mm for reading in readings):
        notes.warn(
            "length_assumed",
            "A named end stands in for a measured length (drawn out 2.5, pushed in 1.0, each "
            "within 0.4 mm). Measure both haptics for a surer answer.",
            field="readings",
        )


def _note_past_taut(index: int, reading: Reading, plan: FlangePlan, notes: Notes) -> None:
    notes.warn(
        "length_past_taut",
        say(
            "Reading {value} has {outside_mm} mm to the original tip, but only {drawn_out_mm} mm can be "
            "drawn out. Was the length after a cut entered as if nothing had been cut, or the cut "
            "counted twice?",
            value=index + 1, outside_mm=f"{reading.outside_mm:.1f}",
            drawn_out_mm=f"{plan.drawn_out_mm:.1f}",
        ),
        field=f"readings[{index}].outside_mm",
    )


_SLOPE_CAUSES: Final = (
    "Haptic stuck, one side moved, soft eye, optic caught by the iris, or lens upside-down?"
)


def _note_slope(case: Case, titration: Titration, notes: Notes) -> None:
    """A slope against the expected sign asks: firmly beyond its own noise, softly within it.

    Where the reach is too small to tell the sign, noise within is not worth a word.
    """
    slope = slope_of(case.eye, case.readings, travel_ratio=case.priors["travel_ratio"].mean)
    if slope is None:
        return
    expected, other = drawn_out_words(case.eye.lens_power_d)
    if slope.beyond_noise:
        notes.warn(
            "slope_against_sign",
            say(
                "Drawing the haptics out read more {other}; more {expected} is expected. {slope_causes} "
                "Check before cutting.",
                other=other, expected=expected, slope_causes=_SLOPE_CAUSES,
            ),
            field="readings",
        )
    elif slope.within_noise and abs(titration.advice.reach_d) >= LEAST_REACH_D:
        notes.warn(
            "slope_within_noise",
            say(
                "Drawing the haptics out read a little more {other}; more {expected} is expected. Noise "
                "alone can do this. Read once more at each end; if it stays: {slope_causes}",
                other=other, expected=expected, slope_causes=_SLOPE_CAUSES,
            ),
            field="readings",
        )


def drawn_out_words(lens_power_d: float) -> tuple[str, str]:
    """What drawing haptic out makes the eye, more so, with this lens; and the opposite."""
    return ("hyperopic", "myopic") if lens_power_d < 0.0 else ("myopic", "hyperopic")


def note_titration(case: Case, titration: Titration, notes: Notes) -> None:
    """What to know about the advice."""
    _note_contradiction(case, notes)
    _note_slope(case, titration, notes)
    _note_gross(titration, notes)
    _note_minus_lens(case, notes)
    if case.haptic_state == "both_free":
        _note_reach(case, titration, notes)
        _note_out_of_reach(case, titration, notes)
    if titration.advice.reason in _REASONS:
        back = "Myopia" if case.eye.lens_power_d < 0.0 else "Hyperopia"
        message = say(_REASONS[titration.advice.reason], back=back)
        notes.warn(titration.advice.reason, message, field="haptic")


def _note_contradiction(case: Case, notes: Notes) -> None:
    """Every reading further from the plan than chance explains: another lens, eye or patient?"""
    found = contradiction(surprises(case))
    if found is None:
        return
    way = "hyperopic" if found.by_d > 0.0 else "myopic"
    size = f"{found.by_d:+.2f}".replace("-", "\N{MINUS SIGN}")
    notes.warn(
        "readings_contradict_plan",
        say(
            "Every reading is far more {way} than the plan expects ({size} D or more, {sds} SD). Before "
            "anything is cut check this patient's measurements, this eye, power and sign of the lens "
            "that is in, the lens the right way up, and how the readings were written.",
            way=way, size=size, sds=f"{abs(found.sds):.1f}",
        ),
        field="readings",
    )


def note_working_distance(case: Case, entries: Sequence[dict[str, Any]], notes: Notes) -> None:
    """A net retinoscopy that would fit with a working distance taken off is asked about."""
    for index, (entry, found) in enumerate(zip(entries, surprises(case), strict=True)):
        net = entry["instrument"] == "retinoscope" and entry.get("working_distance_m") is None
        if net and may_hold_distance(found):
            notes.warn(
                "working_distance_left_in",
                say(
                    "Reading {value} was entered as net and is {by_d} D more hyperopic than the plan "
                    "expects. If it is the lens as it was held, withdraw it and enter it as held, with "
                    "the working distance; so with others like it.",
                    value=index + 1, by_d=f"{found.by_d:.2f}",
                ),
                field=f"readings[{index}]",
            )
            return


def _note_minus_lens(case: Case, notes: Notes) -> None:
    if case.eye.lens_power_d < 0:
        notes.warn(
            "minus_lens",
            "With a minus lens drawing haptic out makes the eye more hyperopic, the opposite of a plus "
            "lens. Check the sign of the lens power.",
            field="lens_power_d",
        )


def _note_reach(case: Case, titration: Titration, notes: Notes) -> None:
    """A second position is asked for only where moving the haptics could matter."""
    if abs(titration.advice.reach_d) < LEAST_REACH_D:
        notes.warn(
            "reach_too_small",
            "The haptics can move this refraction by less than 0.25 D. Take one reading as a gross "
            "check of the lens power; a pushed-in reading is not needed.",
            field="lens_power_d",
        )
    elif len({reading.placement for reading in case.readings}) == 1:
        notes.warn(
            "one_placement",
            "All readings are at one position of the haptics: optic movement per mm of haptic is "
            "assumed. Read at a second position.",
            field="readings",
        )


def _note_out_of_reach(case: Case, titration: Titration, notes: Notes) -> None:
    """Far from target a cut can bring the eye nearer and still not near enough to count."""
    advice = titration.advice
    nothing, drawn_out = (
        part.final.expected_error_d(target_d=case.target_d) for part in advice.reach
    )
    if advice.no_useful_adjustment and nothing - drawn_out >= LEAST_GAIN_D:
        notes.warn(
            "target_out_of_reach",
            say(
                "The target is out of reach: drawn out fully the eye would end {value} D nearer, still "
                "about {drawn_out} D away. See the neighbours and the other options.",
                value=f"{nothing - drawn_out:.2f}", drawn_out=f"{drawn_out:.2f}",
            ),
            field="target_d",
        )


def _note_gross(titration: Titration, notes: Notes) -> None:
    for index, chance in enumerate(titration.after.gross):
        if chance > NAME_GROSS_CHANCE:
            notes.warn(
                "reading_doubtful",
                say(
                    "Reading {value} does not fit the others (chance {chance}). Repeat it; the advice is "
                    "shown with and without it.",
                    value=index + 1, chance=f"{chance:.0%}",
                ),
                field=f"readings[{index}]",
            )
        elif chance > REPEAT_GROSS_CHANCE:
            notes.warn(
                "reading_repeat",
                say(
                    "Reading {value} fits poorly (chance {chance} of a gross error). Repeat it.",
                    value=index + 1, chance=f"{chance:.0%}",
                ),
                field=f"readings[{index}]",
            )
