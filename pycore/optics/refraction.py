"""Sphero-cylinders: power vectors, spherical equivalent, transposition, vertex.

A refraction is sphere ``S``, cylinder ``C`` (either sign) and axis ``a`` (TABO, degrees)::

    M = S + C/2    J0 = -(C/2) cos 2a    J45 = -(C/2) sin 2a    B = sqrt(M^2 + J0^2 + J45^2)
    C = -2 sqrt(J0^2 + J45^2)    S = M - C/2    a = atan2(J45, J0) / 2

Axes are kept above 0 and up to 180: 0 is written 180, and a pure sphere has axis 180. All
finite numbers are valid. Source: Thibos LN, Wheeler W, Horner D, Optom Vis Sci
1997;74:367-375; the blur strength B: Thibos LN, Horner D, J Cataract Refract Surg
2001;27:80-85. Checked by tests/published/test_refraction.py and
tests/limits/test_refraction_identities.py.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.errors import Inconsistent
from pycore.optics.vergence import to_corneal_plane_d, to_spectacle_plane_d

#: Axis written for a pure sphere and for 0 degrees.
LEVEL_AXIS_DEG: Final = 180.0
#: An axis this near to 0 or 180 is 180 with rounding, degrees.
AXIS_ROUNDING_DEG: Final = 1e-9
#: Astigmatism below this is rounding, not a direction, D.
NO_ASTIGMATISM_D: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Spherocylinder:
    """Sphere and cylinder in D, axis in degrees (TABO); the cylinder may have either sign."""

    sphere_d: float
    cylinder_d: float
    axis_deg: float


@dataclass(frozen=True, slots=True)
class PowerVector:
    """Spherical equivalent and the two crossed-cylinder components, D."""

    m_d: float
    j0_d: float
    j45_d: float

    @property
    def blur_d(self) -> float:
        """Length of the vector, the overall blur strength B."""
        return math.hypot(self.m_d, self.j0_d, self.j45_d)


def normal_axis_deg(axis_deg: float) -> float:
    """The same meridian above 0 and up to 180 degrees.

    >>> normal_axis_deg(0), normal_axis_deg(190), normal_axis_deg(-45)
    (180.0, 10.0, 135.0)
    """
    turned = math.fmod(axis_deg, 180.0)
    if turned < 0.0:
        turned += 180.0
    level = min(turned, 180.0 - turned) < AXIS_ROUNDING_DEG
    return LEVEL_AXIS_DEG if level else turned


def spherical_equivalent_d(sphere_d: float, cylinder_d: float) -> float:
    """``S + C/2``; the same in plus and minus form."""
    return sphere_d + cylinder_d / 2.0


def transpose(refraction: Spherocylinder) -> Spherocylinder:
    """The other cylinder form: ``(S + C, -C, a +/- 90)``. Its own inverse."""
    return Spherocylinder(
        sphere_d=refraction.sphere_d + refraction.cylinder_d,
        cylinder_d=0.0 - refraction.cylinder_d,
        axis_deg=normal_axis_deg(refraction.axis_deg + 90.0),
    )


def minus_form(refraction: Spherocylinder) -> Spherocylinder:
    """The form with a cylinder of zero or less; a pure sphere gets axis 180."""
    if refraction.cylinder_d > 0.0:
        return transpose(refraction)
    return _tidy(refraction)


def plus_form(refraction: Spherocylinder) -> Spherocylinder:
    """The form with a cylinder of zero or more; a pure sphere gets axis 180."""
    if refraction.cylinder_d < 0.0:
        return transpose(refraction)
    return _tidy(refraction)


def to_power_vector(refraction: Spherocylinder) -> PowerVector:
    """Thibos components of ``refraction``."""
    # Axis 180 is read as 0 so that it gives exactly the same components.
    double = math.radians(2.0 * math.fmod(refraction.axis_deg, 180.0))
    half = refraction.cylinder_d / 2.0
    return PowerVector(
        m_d=spherical_equivalent_d(refraction.sphere_d, refraction.cylinder_d),
        j0_d=0.0 - half * math.cos(double),
        j45_d=0.0 - half * math.sin(double),
    )


def from_power_vector(vector: PowerVector) -> Spherocylinder:
    """The minus-cylinder refraction with these components."""
    strength = math.hypot(vector.j0_d, vector.j45_d)
    if strength < NO_ASTIGMATISM_D:
        return Spherocylinder(vector.m_d, 0.0, LEVEL_AXIS_DEG)
    axis = math.degrees(math.atan2(vector.j45_d, vector.j0_d)) / 2.0
    return Spherocylinder(vector.m_d + strength, -2.0 * strength, normal_axis_deg(axis))


def mean_power_vector(vectors: Sequence[PowerVector]) -> PowerVector:
    """Component-wise mean; raises :class:`Inconsistent` for none. Axes are never averaged."""
    if not vectors:
        raise Inconsistent("A mean needs at least one refraction.")
    count = len(vectors)
    return PowerVector(
        m_d=math.fsum(vector.m_d for vector in vectors) / count,
        j0_d=math.fsum(vector.j0_d for vector in vectors) / count,
        j45_d=math.fsum(vector.j45_d for vector in vectors) / count,
    )


def change_vertex(refraction: Spherocylinder, *, from_mm: float, to_mm: float) -> Spherocylinder:
    """``refraction`` at another vertex distance, each principal meridian by itself.

    Raises :class:`~pycore.errors.OpticsError` when a meridian has no image there.
    """
    first = _moved(refraction.sphere_d, from_mm, to_mm)
    second = _moved(refraction.sphere_d + refraction.cylinder_d, from_mm, to_mm)
    return Spherocylinder(first, second - first, normal_axis_deg(refraction.axis_deg))


def spherical_equivalent_at_d(refraction: Spherocylinder, *, from_mm: float, to_mm: float) -> float:
    """Spherical equivalent after moving each meridian to the vertex distance ``to_mm``."""
    moved = change_vertex(refraction, from_mm=from_mm, to_mm=to_mm)
    return spherical_equivalent_d(moved.sphere_d, moved.cylinder_d)


def _moved(power_d: float, from_mm: float, to_mm: float) -> float:
    at_cornea = to_corneal_plane_d(power_d, from_mm, field="sphere_d")
    return to_spectacle_plane_d(at_cornea, to_mm)


def _tidy(refraction: Spherocylinder) -> Spherocylinder:
    if refraction.cylinder_d == 0.0:
        return Spherocylinder(refraction.sphere_d, 0.0, LEVEL_AXIS_DEG)
    axis_deg = normal_axis_deg(refraction.axis_deg)
    return Spherocylinder(refraction.sphere_d, refraction.cylinder_d, axis_deg)
