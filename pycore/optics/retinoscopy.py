"""Retinoscopy: from the lens that neutralises the shadow to the eye's refraction.

The lens in the hand corrects the eye for the observer's distance, not for infinity::

    net = gross - 1 / working_distance_m

applied to the sphere only, in the plane of the lens; a vertex conversion comes afterwards.
Signs: minus is myopic. Valid for working distances from :data:`NEAREST_M` to :data:`FARTHEST_M`;
otherwise :class:`OutOfRange`. Source: common principle of retinoscopy (67 cm: 1.50 D, 50 cm:
2.00 D, 40 cm: 2.50 D, secondary educational source). Checked by
tests/published/checks_second_route.py.
"""

from __future__ import annotations

from typing import Final

from pycore.errors import OutOfRange

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


def _refuse_impossible(working_distance_m: float) -> None:
    if not NEAREST_M <= working_distance_m <= FARTHEST_M:
        raise OutOfRange(
            f"A working distance of {working_distance_m:g} m is impossible. Enter the distance between "
            f"retinoscope and eye in metres, {NEAREST_M:g} to {FARTHEST_M:g}.",
            field="working_distance_m",
        )
