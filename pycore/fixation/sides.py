"""Pose of the lens from unequal sides: **the geometric part only**.

A rigid lens between two equally long, straight haptics sits where both lengths are used up. With
entry radii ``r``, depths ``z`` and lengths outside ``e`` of the first and second haptic::

    decentration toward the first = (r1 - r2) / 2 + (e1 - e2) / 2
    tilt = atan((z1 - z2) / (r1 + r2)), the deeper side back

Drawing one haptic further moves the optic toward that side. Seen tilts (5 to 7 degrees) are
several times larger than this gives for half a millimetre (about 1.2 degrees): most comes from
the tunnels' angles and lengths and from twisted haptics, which are not in it. A shorter tunnel
moves the optic away from its side (Park CH et al., Retina 2023); its size is not published. So
this never predicts tilt; it says what unequal marks alone would do.

Source: geometry. Checked by tests/unit/test_sides.py.
"""

from __future__ import annotations

import math
from typing import Final

from pycore.fixation.limbus import EntryPoint
from pycore.optics.pose import Pose

#: From here unequal sides are worth a word: decentration of 0.2 to 0.3 mm and tilt of 2 to 3
#: degrees go unnoticed (Ashena Z et al., Vision 2020;4:41). Of the tilt seen this is a small part
#: only, so half of that.
NOTED_DECENTRE_MM: Final = 0.25
NOTED_TILT_DEG: Final = 1.0
_ROUNDING_MM: Final = 1e-9
#: The caution that goes with every such pose.
PART: Final = (
    "This is the geometric part only: the tunnels and a twisted haptic often tilt the lens more. "
    "The reflex decides where the optic is centred."
)


def worth_a_word(pose: Pose) -> bool:
    """Whether sides so unequal should be looked at before anything is cut."""
    return pose.decentre_mm > NOTED_DECENTRE_MM + _ROUNDING_MM or pose.tilt_deg >= NOTED_TILT_DEG


def pose_of_sides(
    first: EntryPoint, second: EntryPoint, *, outside_mm: tuple[float, float] = (0.0, 0.0)
) -> Pose:
    """Tilt and decentration that the two entries and lengths outside would give a rigid lens.

    ``outside_mm`` are the lengths to the original tips, first haptic first; only their difference
    counts.
    """
    toward_first = _difference(first.radius_mm + outside_mm[0], second.radius_mm + outside_mm[1]) / 2.0
    deeper, across = _difference(first.depth_mm, second.depth_mm), first.radius_mm + second.radius_mm
    first_back = math.degrees(math.atan2(deeper, across))
    return Pose(
        tilt_deg=abs(first_back),
        tilt_axis_deg=_quarter_turn(first.angle_deg, forward=first_back < 0.0),
        decentre_mm=abs(toward_first),
        decentre_axis_deg=(first.angle_deg if toward_first >= 0.0 else second.angle_deg) % 360.0,
    )


def _difference(first_mm: float, second_mm: float) -> float:
    """First less second; rounding alone never chooses a direction."""
    difference = first_mm - second_mm
    return difference if abs(difference) > _ROUNDING_MM else 0.0


def _quarter_turn(angle_deg: float, *, forward: bool) -> float:
    """Tilt axis that brings the edge at ``angle_deg`` forward, or sends it back."""
    return (angle_deg + (-90.0 if forward else 90.0)) % 360.0
