"""The elliptical limbus and the scleral entries measured from it.

The limbus is an ellipse with a horizontal and a vertical diameter; in direction ``t`` (TABO) its
radius is ``a b / sqrt((b cos t)^2 + (a sin t)^2)`` with half-diameters ``a`` and ``b``. An entry
lies ``entry_mm`` behind it along the sclera, in the meridian's own plane.

Frame: ``x`` to the observer's right (TABO 0), ``y`` up, depth behind the limbal plane, mm, from
the limbal centre. Opposite limbal radii are equal, so entries that lie 180 degrees apart and
equally far behind the limbus are symmetric about the centre in every meridian; an equal distance
in *different* meridians is not the same radius (a preprint, not peer reviewed, 2026, finds up to
about 0.58 mm between meridians under representative diameters).

Valid for diameters of 7 to 15 mm. Source: geometry of the ellipse. Checked by
tests/limits/test_entries_geometry.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pycore.fixation.sclera import beyond_limbus


@dataclass(frozen=True, slots=True)
class Limbus:
    """Horizontal and vertical diameter, mm."""

    horizontal_mm: float
    vertical_mm: float


@dataclass(frozen=True, slots=True)
class EntryPoint:
    """Where one haptic leaves the eye: TABO direction, place and distance from the axis."""

    angle_deg: float
    x_mm: float
    y_mm: float
    depth_mm: float
    radius_mm: float


def limbal_radius_mm(limbus: Limbus, angle_deg: float) -> float:
    """Distance of the limbus from its centre in a TABO direction.

    >>> limbal_radius_mm(Limbus(12.0, 11.0), 0.0), limbal_radius_mm(Limbus(12.0, 11.0), 90.0)
    (6.0, 5.5)
    """
    across, up = limbus.horizontal_mm / 2.0, limbus.vertical_mm / 2.0
    angle = math.radians(angle_deg)
    return across * up / math.hypot(up * math.cos(angle), across * math.sin(angle))


def entry_point(limbus: Limbus, *, angle_deg: float, entry_mm: float) -> EntryPoint:
    """The entry ``entry_mm`` behind the limbus in the direction ``angle_deg``."""
    radius, depth = beyond_limbus(limbal_radius_mm=limbal_radius_mm(limbus, angle_deg), arc_mm=entry_mm)
    angle = math.radians(angle_deg)
    return EntryPoint(angle_deg, radius * math.cos(angle), radius * math.sin(angle), depth, radius)


def opposite_entries(
    limbus: Limbus, *, meridian_deg: float, entry_mm: tuple[float, float]
) -> tuple[EntryPoint, EntryPoint]:
    """Entries of the first haptic, at ``meridian_deg``, and of the second, opposite.

    The first haptic is the one at the smaller TABO angle: meridian 180 is read as 0.
    """
    first = meridian_deg % 180.0
    return (
        entry_point(limbus, angle_deg=first, entry_mm=entry_mm[0]),
        entry_point(limbus, angle_deg=first + 180.0, entry_mm=entry_mm[1]),
    )


def chord_mm(first: EntryPoint, second: EntryPoint) -> float:
    """Straight distance between two entries."""
    return math.dist((first.x_mm, first.y_mm, first.depth_mm), (second.x_mm, second.y_mm, second.depth_mm))


def midpoint_offset_mm(first: EntryPoint, second: EntryPoint) -> float:
    """Distance of the chord's midpoint from the eye's axis, seen from in front."""
    return math.hypot(first.x_mm + second.x_mm, first.y_mm + second.y_mm) / 2.0
