"""Where unequal haptics and entries would put the optic: the geometric part only, in words.

Tests: tests/unit/test_pose_note.py.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.case_numbers import both_sides
from pycore.api.schema import Notes
from pycore.api.wording import quantity
from pycore.belief.eye import REFERENCE_ENTRY_MM
from pycore.fixation.clock import clock_hours, spoken
from pycore.fixation.haptic_log import HapticNow, measured_together
from pycore.fixation.limbus import Limbus, opposite_entries
from pycore.fixation.sides import PART, pose_of_sides, worth_a_word
from pycore.optics.pose import Pose
from pycore.words import say

#: Limbus of an average eye, mm, where it was not measured: the pose depends on it only through the
#: small difference between both sides (Holladay JT et al., J Cataract Refract Surg 2003;29:176-197,
#: horizontal, from a secondary source).
AVERAGE_LIMBUS_MM: Final = 11.77


def note_pose(case: dict[str, Any], now: tuple[HapticNow, HapticNow], notes: Notes) -> None:
    """Caution when both sides differ enough to matter and it is known where they lie."""
    meridian = case["plan"]["meridian_deg"]
    if meridian is None:
        return
    pose = _pose(case, now, meridian)
    if worth_a_word(pose):
        clocks = clock_hours(meridian % 180.0)
        notes.warn("sides_unequal", _sentence(pose, clocks, meridian), field="haptic_log")


def _pose(case: dict[str, Any], now: tuple[HapticNow, HapticNow], meridian_deg: float) -> Pose:
    points = opposite_entries(
        _limbus(case["measurements"]),
        meridian_deg=meridian_deg,
        entry_mm=both_sides(case["plan"], "entry", REFERENCE_ENTRY_MM),
    )
    return pose_of_sides(*points, outside_mm=_lengths_mm(now))


def _limbus(measurements: dict[str, Any]) -> Limbus:
    across, up = measurements["limbus_horizontal_mm"], measurements["limbus_vertical_mm"]
    return Limbus(across or up or AVERAGE_LIMBUS_MM, up or across or AVERAGE_LIMBUS_MM)


def _lengths_mm(now: tuple[HapticNow, HapticNow]) -> tuple[float, float]:
    """Lengths to the original tips; as alike unless both were measured together."""
    first, second = now[0].original_mm, now[1].original_mm
    if first is None or second is None or not measured_together(*now):
        return 0.0, 0.0
    return first, second


def _sentence(pose: Pose, clocks: tuple[str, str], meridian_deg: float) -> str:
    toward = clocks[0] if _points_to_first(pose.decentre_axis_deg, meridian_deg) else clocks[1]
    moved = say(
        "{decentre_mm} toward {toward}",
        decentre_mm=quantity(pose.decentre_mm, "decentre_mm"), toward=spoken(toward),
    )
    tilted = say(
        ", tilted {tilt_deg}",
        tilt_deg=quantity(pose.tilt_deg, "tilt_deg"),
    ) if pose.tilt_deg >= 0.05 else ""
    return (
        say(
            "The two sides are unequal: by lengths outside and entries alone the optic lies "
            "{moved}{tilted}. {part}",
            moved=moved, tilted=tilted, part=PART,
        )
    )


def _points_to_first(axis_deg: float, meridian_deg: float) -> bool:
    apart = abs(axis_deg - meridian_deg % 180.0) % 360.0
    return min(apart, 360.0 - apart) < 90.0
