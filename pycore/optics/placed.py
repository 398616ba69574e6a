"""The eye's four surfaces, each in its place: cornea as it is, lens in its pose.

The lens turns about its centre (middle of its thickness on its own axis) and is then shifted;
both its faces share that turn. Frame as in :mod:`pycore.optics.pose`. Checked by
tests/reference/test_tilt_reference.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pycore.optics.conic import Conic
from pycore.optics.paraxial import AIR_INDEX
from pycore.optics.pose import Matrix, Pose, Vector, rotation, shift_mm
from pycore.optics.thick_eye import CORNEA_INDEX, ThickEye
from pycore.units import AQUEOUS_INDEX

_STILL: Final[Matrix] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
_NONE: Final[Vector] = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Placed:
    """A surface in the eye: ``local = turn^T (global - origin) + offset``, vertex at local zero."""

    shape: Conic
    index_before: float
    index_after: float
    turn: Matrix
    origin: Vector
    offset: Vector


def placed_surfaces(eye: ThickEye, pose: Pose) -> tuple[Placed, ...]:
    """The four surfaces in the order light meets them."""
    turn, (dx, dy, _) = rotation(pose), shift_mm(pose)
    centre, front = eye.lens_centre_mm, eye.lens_front_mm
    origin, back = (dx, dy, centre), front + eye.lens.thickness_mm
    fluid, lens = AQUEOUS_INDEX, eye.lens.index
    deep = (0.0, 0.0, -eye.cornea.thickness_mm)
    return (
        Placed(eye.cornea.anterior, AIR_INDEX, CORNEA_INDEX, _STILL, _NONE, _NONE),
        Placed(eye.cornea.posterior, CORNEA_INDEX, fluid, _STILL, _NONE, deep),
        Placed(eye.lens.front, fluid, lens, turn, origin, (0.0, 0.0, centre - front)),
        Placed(eye.lens.back, lens, fluid, turn, origin, (0.0, 0.0, centre - back)),
    )


def turned_round(surface: Placed) -> Placed:
    """The same surface for light that comes from behind."""
    return Placed(
        surface.shape,
        surface.index_after,
        surface.index_before,
        surface.turn,
        surface.origin,
        surface.offset,
    )
