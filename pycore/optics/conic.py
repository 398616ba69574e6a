"""Conic surfaces of revolution: sag, slope, and where a ray meets them.

A surface with vertex curvature ``c`` (1/mm, positive when its centre lies behind the vertex)
and conic constant ``Q`` is, with ``z`` pointing into the eye from the vertex::

    c (x^2 + y^2 + (1 + Q) z^2) - 2 z = 0
    z(r) = c r^2 / (1 + sqrt(1 - (1 + Q) c^2 r^2))          sag
    dz/dr = c r / sqrt(1 - (1 + Q) c^2 r^2)                 slope

``Q = 0`` is a sphere, ``-1`` a paraboloid, ``0 > Q > -1`` a prolate ellipsoid (the human
cornea), ``Q < -1`` a hyperboloid; ``c = 0`` is a plane. Curvature, not radius, is stored so
that a plane needs no special case.

A ray ``(x, y, z) + t (l, m, n)`` meets it where ``a t^2 + 2 b t + q = 0``; the root on the
sheet that holds the vertex, in either direction of travel, is
``t = q / (-b + sign(n) sqrt(b^2 - a q))``. An outward normal (up to length) is
``(c x, c y, c (1 + Q) z - 1)``.

Source: Welford WT, Aberrations of Optical Systems, 1986, ch. 4 (value from memory). Checked by
tests/unit/test_conic.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from pycore.errors import OpticsError
from pycore.words import say


@dataclass(frozen=True, slots=True)
class Conic:
    """Shape of one surface, without its place."""

    curvature_per_mm: float
    asphericity: float = 0.0


def conic_of_radius(radius_mm: float, asphericity: float = 0.0) -> Conic:
    """A conic from its vertex radius (mm, not zero)."""
    return Conic(1.0 / radius_mm, asphericity)


def sag_mm(shape: Conic, height_mm: float) -> float:
    """Depth of the surface at ``height_mm`` from its axis.

    Raises :class:`OpticsError` beyond the rim of a closed surface.

    >>> round(sag_mm(conic_of_radius(5.0), 3.0), 12)
    1.0
    """
    curvature = shape.curvature_per_mm
    return curvature * height_mm**2 / (1.0 + math.sqrt(_inside(shape, height_mm)))


def slope(shape: Conic, height_mm: float) -> float:
    """``dz/dr`` at ``height_mm``.

    >>> round(slope(conic_of_radius(5.0), 3.0), 12)
    0.75
    """
    return shape.curvature_per_mm * height_mm / math.sqrt(_inside(shape, height_mm))


def ray_coefficients(shape: Conic, point: Any, direction: Any) -> tuple[Any, Any, Any]:
    """``a, b, q`` of the intersection equation; numbers or arrays of numbers.

    ``point`` and ``direction`` each unpack to three coordinates in the surface's own frame.
    """
    x, y, z = point
    cos_x, cos_y, cos_z = direction
    curvature, stretch = shape.curvature_per_mm, 1.0 + shape.asphericity
    a = curvature * (cos_x * cos_x + cos_y * cos_y + stretch * cos_z * cos_z)
    b = curvature * (x * cos_x + y * cos_y + stretch * z * cos_z) - cos_z
    q = curvature * (x * x + y * y + stretch * z * z) - 2.0 * z
    return a, b, q


def normal(shape: Conic, point: Any) -> tuple[Any, Any, Any]:
    """A normal at ``point`` of the surface, not of unit length; numbers or arrays."""
    x, y, z = point
    curvature = shape.curvature_per_mm
    return curvature * x, curvature * y, curvature * (1.0 + shape.asphericity) * z - 1.0


def _inside(shape: Conic, height_mm: float) -> float:
    left = 1.0 - (1.0 + shape.asphericity) * (shape.curvature_per_mm * height_mm) ** 2
    if left <= 0.0:
        raise OpticsError(
            say(
                "A surface of radius {value} mm does not reach {height_mm} mm from its axis. Check the "
                "radius or the diameter.",
                value=f"{1.0 / shape.curvature_per_mm:.2f}", height_mm=f"{height_mm:g}",
            )
        )
    return left
