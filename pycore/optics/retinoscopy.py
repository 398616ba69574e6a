"""Retinoscopy: from the lens that neutralises the shadow to the eye's refraction.

The lens in the hand corrects the eye for the observer's distance, not for infinity::

    net = gross - 1 / working_distance_m

applied to the sphere only, in the plane of the lens; a vertex conversion comes afterwards.
Signs: minus is myopic. Valid for working distances from :data:`NEAREST_M` to :data:`FARTHEST_M`;
otherwise :class:`OutOfRange`. Two meridians are two powers at right angles; their equivalent does
not depend on where they lie. Source: common principle of retinoscopy (67 cm: 1.50 D, 50 cm:
2.00 D, 40 cm: 2.50 D, secondary educational source). Checked by
tests/published/checks_second_route.py and tests/unit/test_retinoscopy_reading.py.
"""

from __future__ import annotations

from typing import Final

from pycore.errors import OutOfRange
from pycore.optics.refraction import (
    LEVEL_AXIS_DEG,
    Spherocylinder,
    spherical_equivalent_at_d,
    spherical_equivalent_d,
)
from pycore.units import STANDARD_VERTEX_MM
from pycore.words import say

#: Distances a retinoscope is held at, m; beyond them a unit is wrong. Common practice, no source.
NEAREST_M: Final = 0.2
FARTHEST_M: Final = 2.0


def net_sphere_d(gross_d: float, *, working_distance_m: float) -> float:
    """Refraction in the plane of the lens from the neutralising lens.

    >>> net_sphere_d(14.0, working_distance_m=0.5)
    12.0
    """
    _refuse_impossible(working_distance_m)
    return gross_d - 1.0 / working_distance_m


def gross_sphere_d(net_d: float, *, working_distance_m: float) -> float:
    """The neutralising lens for a refraction; inverse of :func:`net_sphere_d`."""
    _refuse_impossible(working_distance_m)
    return net_d + 1.0 / working_distance_m


def of_meridians(first_d: float, second_d: float) -> Spherocylinder:
    """Two neutralised meridians in minus-cylinder form; the axis is not known and stands at 180.

    >>> of_meridians(0.5, 1.5)
    Spherocylinder(sphere_d=1.5, cylinder_d=-1.0, axis_deg=180.0)
    """
    high, low = max(first_d, second_d), min(first_d, second_d)
    return Spherocylinder(high, low - high, LEVEL_AXIS_DEG)


def net_equivalent_d(
    held: Spherocylinder, *, vertex_mm: float | None, working_distance_m: float | None = None
) -> float:
    """Spherical equivalent at 12 mm vertex: the working distance off first, then each meridian moved.

    Without ``vertex_mm`` the lens was held at 12 mm; without ``working_distance_m`` it is already net.
    Raises :class:`pycore.errors.NoImage` for a meridian that focuses at the new plane.
    """
    net = held.sphere_d
    if working_distance_m is not None:
        net = net_sphere_d(held.sphere_d, working_distance_m=working_distance_m)
    refraction = Spherocylinder(net, held.cylinder_d, held.axis_deg)
    if vertex_mm is None or vertex_mm == STANDARD_VERTEX_MM:
        return spherical_equivalent_d(refraction.sphere_d, refraction.cylinder_d)
    return spherical_equivalent_at_d(refraction, from_mm=vertex_mm, to_mm=STANDARD_VERTEX_MM)


def _refuse_impossible(working_distance_m: float) -> None:
    if not NEAREST_M <= working_distance_m <= FARTHEST_M:
        raise OutOfRange(
            say(
                "A working distance of {working_distance_m} m is impossible. Enter the distance between "
                "retinoscope and eye in metres, {nearest_m} to {farthest_m}.",
                working_distance_m=f"{working_distance_m:g}", nearest_m=f"{NEAREST_M:g}",
                farthest_m=f"{FARTHEST_M:g}",
            ),
            field="working_distance_m",
        )
