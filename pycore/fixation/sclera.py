"""The sclera behind the limbus: where a distance along its surface leads.

In the plane of one meridian the sclera is an arc of radius :data:`SCLERAL_RADIUS_MM` centred on
the eye's axis that passes through the limbus. With limbal radius ``r`` and arc ``s``::

    alpha = asin(r / Rs) + s / Rs
    radius from the axis = Rs sin(alpha)
    depth behind the limbal plane = Rs (cos(asin(r / Rs)) - cos(alpha))

The limbus is taken to lie in one plane, so a limbus of two diameters gives each meridian its own
arc. Callipers measure the chord, not the arc; at 3 mm the two differ by 0.01 mm. Valid for
``0 < r < Rs`` and arcs that stay in front of the back pole. Source: geometry of the circle.
Checked by tests/limits/test_entries_geometry.py.
"""

from __future__ import annotations

import math
from typing import Final

from pycore.errors import Inconsistent
from pycore.words import say

#: Outer radius of the anterior sclera, mm; our assumption (half of a usual 24 mm globe).
SCLERAL_RADIUS_MM: Final = 12.0


def beyond_limbus(
    *, limbal_radius_mm: float, arc_mm: float, scleral_radius_mm: float = SCLERAL_RADIUS_MM
) -> tuple[float, float]:
    """Radius from the eye's axis and depth behind the limbal plane, mm.

    Raises :class:`Inconsistent` when the limbus is as wide as the globe.

    >>> radius, depth = beyond_limbus(limbal_radius_mm=5.9, arc_mm=2.0)
    >>> round(2 * radius, 1), round(depth, 2)
    (15.1, 1.12)
    """
    if limbal_radius_mm >= scleral_radius_mm:
        raise Inconsistent(
            say(
                "A limbus of {value} mm does not fit a sclera of radius {scleral_radius_mm} mm. Check "
                "the limbal diameters.",
                value=f"{2 * limbal_radius_mm:g}", scleral_radius_mm=f"{scleral_radius_mm:g}",
            ),
            field="limbus_horizontal_mm",
        )
    start = math.asin(limbal_radius_mm / scleral_radius_mm)
    end = start + arc_mm / scleral_radius_mm
    return (
        scleral_radius_mm * math.sin(end),
        scleral_radius_mm * (math.cos(start) - math.cos(end)),
    )
