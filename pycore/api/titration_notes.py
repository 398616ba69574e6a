"""Warnings about readings and advice, in words that say what to do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from pycore.api.schema import Notes
from pycore.belief.readings import Reading
from pycore.fixation.haptic import FlangePlan
from pycore.planning.titrate import (
    NAME_GROSS_CHANCE,
    REPEAT_GROSS_CHANCE,
    Case,
    Titration,
    slope_d_per_mm,
)
from pycore.planning.titration import LEAST_GAIN_D, LEAST_REACH_D

#: Lengths past taut by more than the callipers' half step are impossible.
_PAST_TAUT_MM: Final = 0.25

_REASONS: Final = {
    "one_flanged": (
        "One haptic has its flange: the other one only centres the lens. Readings no longer "
        "change what to cut."
    ),
    "recut": "Both flanges are made: only more can be taken off, at least 1.0 mm a side.",
    "leave": "Both flanges are made: leave them. Hyperopia only by burying a little deeper.",
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
    _note_slope(readings, notes)


def _note_past_taut(index: int, reading: Reading, plan: FlangePlan, notes: Notes) -> None:
    notes.warn(
        "length_past_taut",
        f"Reading {index + 1} has {reading.outside_mm:.1f} mm to the original tip, but only "
        f"{plan.drawn_out_mm:.1f} mm can be drawn out. Was the length after a cut entered as "
        "if nothing had been cut, or the cut counted twice?",
        field=f"readings[{index}].outside_mm",
    )


def _note_slope(readings: Sequence[Reading], notes: Notes) -> None:
    slope = slope_d_per_mm(readings)
    if slope is not None and slope > 0:
        notes.warn(
            "slope_against_sign",
            "Drawing the haptics out read more hyperopic; more myopic is expected. Haptic stuck, "
            "one side moved, soft eye, optic caught by the iris, or lens upside-down? Check before "
            "cutting.",
            field="readings",
        )


def note_titration(case: Case, titration: Titration, notes: Notes) -> None:
    """What to know about the advice."""
    _note_gross(titration, notes)
    _note_minus_lens(case, notes)
    if case.haptic_state == "both_free":
        _note_reach(case, titration, notes)
        _note_out_of_reach(case, titration, notes)
    if titration.advice.reason in _REASONS:
        notes.warn(titration.advice.reason, _REASONS[titration.advice.reason], field="haptic")


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
            f"The target is out of reach: drawn out fully the eye would end {nothing - drawn_out:.2f} D "
            f"nearer, still about {drawn_out:.2f} D away. See the neighbours and the other options.",
            field="target_d",
        )


def _note_gross(titration: Titration, notes: Notes) -> None:
    for index, chance in enumerate(titration.after.gross):
        if chance > NAME_GROSS_CHANCE:
            notes.warn(
                "reading_doubtful",
                f"Reading {index + 1} does not fit the others (chance {chance:.0%}). Repeat it; the "
                "advice is shown with and without it.",
                field=f"readings[{index}]",
            )
        elif chance > REPEAT_GROSS_CHANCE:
            notes.warn(
                "reading_repeat",
                f"Reading {index + 1} fits poorly (chance {chance:.0%} of a gross error). Repeat it.",
                field=f"readings[{index}]",
            )
