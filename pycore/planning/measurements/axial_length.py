"""Axial lengths measured by ultrasound at the wrong velocity, and what they should have been.

The instrument times an echo and multiplies by the velocity it was set to::

    true = shown x v_true / v_set                   whole eye at one velocity
    true = sum over segments of shown_i x v_i / v_set_i
    true = AL^2 / (AL - 0.35)                       phakic eye shown at 1532
    true = AL + 0.04 + factor x lens thickness      pseudophakic eye shown at 1532

Lengths in mm, velocities in m/s. Source of the last two: Hoffer KJ, J Cataract Refract Surg
1994;20:554-562. Raises :class:`OutOfRange` for an impossible velocity or length. Tests:
tests/published/checks_measurements.py, tests/limits/test_measurements.py.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.errors import OutOfRange
from pycore.planning.measurements.step import Confidence, Step
from pycore.planning.measurements.velocities import WHOLE_EYE, refuse_impossible
from pycore.words import say

HOFFER_1994: Final = "Hoffer KJ, J Cataract Refract Surg 1994;20:554-562"
#: The setting for an eye without lens; Hoffer's two relations hold for lengths shown at it.
APHAKIC_SETTING_M_S: Final = 1532.0
#: Phakic relation: mm of lens and cornea by which 1532 reads short.
PHAKIC_EXCESS_MM: Final = 0.35
#: Cornea of a pseudophakic eye, mm; and per mm of the lens, by material.
PSEUDOPHAKIC_CORNEA_MM: Final = 0.04
PER_LENS_THICKNESS: Final[dict[str, tuple[float, Confidence]]] = {
    "pmma": (0.44, "journal"),
    "silicone_lens": (-0.56, "journal"),
    "glass": (0.75, "journal"),
    # 1 - 1532 / 2120, with the velocity from memory.
    "acrylic": (0.28, "derived"),
}
#: An oil-filled eye is never filled evenly: extra SD of its length, our assumption.
OIL_SD_MM: Final = 1.0


@dataclass(frozen=True, slots=True)
class Echo:
    """One segment as shown: length, the velocity it was shown at, the velocity it has."""

    shown_mm: float
    set_m_s: float
    true_m_s: float


def at_velocity_mm(shown_mm: float, *, set_m_s: float, true_m_s: float) -> float:
    """Whole-eye conversion, ``shown x true / set``.

    >>> round(at_velocity_mm(23.5, set_m_s=1550.0, true_m_s=1532.0), 3)
    23.227
    """
    refuse_impossible(set_m_s, field="velocity_m_s")
    refuse_impossible(true_m_s, field="lens_state")
    return shown_mm * true_m_s / set_m_s


def from_segments_mm(echoes: Sequence[Echo]) -> float:
    """Length by segments, each at its own velocity; the best way where echoes are seen apart."""
    return math.fsum(
        at_velocity_mm(echo.shown_mm, set_m_s=echo.set_m_s, true_m_s=echo.true_m_s) for echo in echoes
    )


def phakic_from_1532_mm(shown_mm: float) -> float:
    """Phakic length from one shown at 1532 m/s, ``AL^2 / (AL - 0.35)``; about 0.35 mm more."""
    if shown_mm <= PHAKIC_EXCESS_MM:
        raise OutOfRange("The axial length is too short to be an eye's.", field="axial_length_mm")
    return shown_mm**2 / (shown_mm - PHAKIC_EXCESS_MM)


def pseudophakic_from_1532_mm(shown_mm: float, *, material: str, thickness_mm: float) -> float:
    """Pseudophakic length from one shown at 1532 m/s, by lens material and thickness."""
    factor, _ = PER_LENS_THICKNESS[material]
    return shown_mm + PSEUDOPHAKIC_CORNEA_MM + factor * thickness_mm


def whole_eye_step(shown_mm: float, *, set_m_s: float, state: str) -> Step:
    """What the eye's length is in this state, when it was shown at ``set_m_s``.

    A phakic eye shown at 1532 goes by Hoffer's relation, every other by the ratio.
    """
    velocity = WHOLE_EYE[state]
    if state == "phakic" and set_m_s == APHAKIC_SETTING_M_S:
        after = phakic_from_1532_mm(shown_mm)
        return Step("velocity", _said(set_m_s, after - shown_mm), shown_mm, after, HOFFER_1994, "journal")
    after = at_velocity_mm(shown_mm, set_m_s=set_m_s, true_m_s=velocity.m_per_s)
    text = say(
        "{set_m_s} This eye has {m_per_s} m/s.",
        set_m_s=_said(set_m_s, after - shown_mm), m_per_s=f"{velocity.m_per_s:g}",
    )
    return Step("velocity", text, shown_mm, after, velocity.source, velocity.confidence)


def pseudophakic_step(
    shown_mm: float, *, set_m_s: float, material: str, thickness_mm: float
) -> Step:
    """The same for an eye with a lens implant: first to 1532 m/s, then by material."""
    at_aphakic = at_velocity_mm(shown_mm, set_m_s=set_m_s, true_m_s=APHAKIC_SETTING_M_S)
    after = pseudophakic_from_1532_mm(at_aphakic, material=material, thickness_mm=thickness_mm)
    text = say(
        "{set_m_s} Through a lens of {thickness_mm} mm.",
        set_m_s=_said(set_m_s, after - shown_mm), thickness_mm=f"{thickness_mm:g}",
    )
    return Step("velocity", text, shown_mm, after, HOFFER_1994, PER_LENS_THICKNESS[material][1])


def segments_step(echoes: Sequence[Echo]) -> Step:
    """The same by segments."""
    shown = math.fsum(echo.shown_mm for echo in echoes)
    after = from_segments_mm(echoes)
    text = say("Each segment at its own velocity: {signed} mm.", signed=_signed(after - shown))
    return Step("segments", text, shown, after, "definition of the time of flight", "derived")


def _said(set_m_s: float, change_mm: float) -> str:
    return say(
        "Shown at {set_m_s} m/s: {change_mm} mm.",
        set_m_s=f"{set_m_s:g}", change_mm=_signed(change_mm),
    )


def _signed(change_mm: float) -> str:
    return f"{change_mm:+.2f}".replace("-", "\u2212")
