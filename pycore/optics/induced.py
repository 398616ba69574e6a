"""What a pose adds to the centred lens, as a minus cylinder at the spectacle plane.

Each eye's correction is a power vector at the corneal vertex. It is moved to the spectacle plane
meridian by meridian, ``Rs = Rc / (1 + V Rc / 1000)``; the posed eye's vector less the centred
eye's is what the pose adds. Centred refractions cancel, whatever their definition.

Checked by tests/reference/test_tilt_reference.py and tests/limits/test_tilt_identities.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pycore.optics.chief_ray import chief_ray_refraction
from pycore.optics.pose import CENTRED, Pose
from pycore.optics.refraction import PowerVector, from_power_vector
from pycore.optics.thick_eye import ThickEye
from pycore.optics.vergence import to_spectacle_plane_d
from pycore.units import STANDARD_VERTEX_MM


@dataclass(frozen=True, slots=True)
class Induced:
    """Sphere and minus cylinder (D), TABO axis above 0 and up to 180, change of the spherical
    equivalent (D)."""

    sphere_d: float
    cylinder_d: float
    axis_deg: float
    shift_d: float


def difference(posed: PowerVector, centred: PowerVector) -> Induced:
    """``posed`` less ``centred``, both at one plane and in TABO."""
    added = PowerVector(posed.m_d - centred.m_d, posed.j0_d - centred.j0_d, posed.j45_d - centred.j45_d)
    form = from_power_vector(added)
    return Induced(form.sphere_d, form.cylinder_d, form.axis_deg, added.m_d)


def at_spectacle_plane(correction: PowerVector, vertex_mm: float) -> PowerVector:
    """A correction at the corneal vertex moved ``vertex_mm`` to the front.

    Raises :class:`~pycore.errors.OpticsError` when a meridian has no image there.
    """
    half = math.hypot(correction.j0_d, correction.j45_d)
    weak = to_spectacle_plane_d(correction.m_d + half, vertex_mm, field="lens_power_d")
    strong = to_spectacle_plane_d(correction.m_d - half, vertex_mm, field="lens_power_d")
    scale = (weak - strong) / (2.0 * half) if half > 0.0 else 0.0
    return PowerVector((weak + strong) / 2.0, correction.j0_d * scale, correction.j45_d * scale)


def induced_paraxial(eye: ThickEye, pose: Pose, *, vertex_mm: float = STANDARD_VERTEX_MM) -> Induced:
    """What ``pose`` adds by the curvature of the wavefront on the chief ray; no numpy."""
    posed, centred = (
        at_spectacle_plane(chief_ray_refraction(eye, one), vertex_mm) for one in (pose, CENTRED)
    )
    return difference(posed, centred)
