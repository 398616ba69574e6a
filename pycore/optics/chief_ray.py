"""Paraxial refraction about the chief ray: curvature of the wavefront carried along one real ray.

For a pupil shrinking to nothing the refraction of a tilted or decentred lens is the curvature of
the wavefront on the chief ray. It is a symmetric matrix ``S`` (1/mm) across the ray ``d``, so
that a neighbour at ``dx`` travels at ``d + S dx``; a point source ``t`` away has ``S = 1/t``.

- A gap ``t``: ``S -> S (1 + t S)^-1``.
- A surface with unit normal ``N`` along the light: ``n' d' = n d + g N`` with
  ``g = n' cos i' - n cos i``, and for every pair of directions ``u, v`` in the surface
  ``n' u.S' v = n u.S v + g u.K v``, ``K`` the derivative of ``N`` along the surface.

(Generalised Coddington equations.) The ray runs backward, from the retina out along the corneal
axis, the same ray in the same frame as in :mod:`pycore.optics.trace`. The correction is
``R = 1000 S`` at the corneal vertex: light that leaves converging belongs to a myopic eye.

No numpy. Valid wherever the chief ray meets all four surfaces. Source: Stavroudis ON, The Optics
of Rays, Wavefronts, and Caustics, 1972 (value from memory). Checked by
tests/reference/test_tilt_reference.py.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from pycore.errors import OpticsError
from pycore.optics.conic import normal, ray_coefficients
from pycore.optics.placed import Placed, placed_surfaces, turned_round
from pycore.optics.pose import Matrix, Pose, Vector
from pycore.optics.refraction import PowerVector
from pycore.optics.thick_eye import ThickEye

Square = tuple[float, float, float]  # a, b, c of the symmetric [[a, b], [b, c]]


@dataclass(frozen=True, slots=True)
class Ray:
    """A point, a unit direction, and the wavefront's curvature across it in the frame ``across``."""

    point: Vector
    direction: Vector
    across: tuple[Vector, Vector]
    curvature: Square


def chief_ray_refraction(eye: ThickEye, pose: Pose) -> PowerVector:
    """Correction (D, TABO) at the corneal vertex in the limit of a small pupil; minus is myopic.

    Raises :class:`OpticsError` when the chief ray misses a surface.
    """
    surfaces = placed_surfaces(eye, pose)
    landing, heading = _land(surfaces, eye.axial_length_mm)
    ray = Ray(landing, _times(heading, -1.0), _frame(_times(heading, -1.0)), (math.inf, 0.0, math.inf))
    for surface in reversed(surfaces):
        ray = _refract(ray, turned_round(surface))
    ray = _move(ray, -ray.point[2] / ray.direction[2])
    xx, xy, yy = (_quadratic(ray, u, v) for u, v in ((_X, _X), (_X, _Y), (_Y, _Y)))
    return PowerVector(500.0 * (xx + yy), 500.0 * (xx - yy), -1000.0 * xy)


_X: Final[Vector] = (1.0, 0.0, 0.0)
_Y: Final[Vector] = (0.0, 1.0, 0.0)


def _land(surfaces: Sequence[Placed], axial_length_mm: float) -> tuple[Vector, Vector]:
    """Where a ray along the corneal axis meets the retina, and its direction there."""
    ray = Ray((0.0, 0.0, -1.0), (0.0, 0.0, 1.0), (_X, _Y), (0.0, 0.0, 0.0))
    for surface in surfaces:
        ray = _refract(ray, surface)
    distance = (axial_length_mm - ray.point[2]) / ray.direction[2]
    return _plus(ray.point, _times(ray.direction, distance)), ray.direction


def _refract(ray: Ray, surface: Placed) -> Ray:
    ray = _move(ray, _reach(ray, surface))
    gradient = normal(surface.shape, _local(surface, ray.point))
    size = math.copysign(_length(gradient), _dot(gradient, _turn_back(surface.turn, ray.direction)))
    across = _turn(surface.turn, _times(gradient, 1.0 / size))
    before, after = surface.index_before, surface.index_after
    incident = _dot(across, ray.direction)
    leaving = math.sqrt(_positive(1.0 - (before / after) ** 2 * (1.0 - incident**2)))
    power = after * leaving - before * incident
    direction = _times(_plus(_times(ray.direction, before), _times(across, power)), 1.0 / after)

    def bent(u: Vector, v: Vector) -> float:
        return (before * _quadratic(ray, u, v) + power * _bend(surface, u, v) / size) / after

    frame = _frame(direction)
    return Ray(ray.point, direction, frame, _on_frame(frame, _frame(across), bent))


def _on_frame(
    frame: tuple[Vector, Vector], tangents: tuple[Vector, Vector], form: Callable[[Vector, Vector], float]
) -> Square:
    """A quadratic form known on ``tangents`` carried to ``frame``, along the ray."""
    p, q = tangents
    a, b, c, d = (_dot(e, t) for e in frame for t in (p, q))  # frame = [[a, b], [c, d]] on tangents
    inverse = 1.0 / (a * d - b * c)
    first = _plus(_times(p, d * inverse), _times(q, -c * inverse))
    second = _plus(_times(p, -b * inverse), _times(q, a * inverse))
    return form(first, first), form(first, second), form(second, second)


def _move(ray: Ray, distance: float) -> Ray:
    point = _plus(ray.point, _times(ray.direction, distance))
    return Ray(point, ray.direction, ray.across, _spread(ray.curvature, distance))


def _spread(curvature: Square, distance: float) -> Square:
    """``S (1 + t S)^-1``; a point source (infinite ``S``) becomes ``1/t``."""
    a, b, c = curvature
    if math.isinf(a):
        return 1.0 / distance, 0.0, 1.0 / distance
    whole = a * c - b * b
    scale = 1.0 + distance * (a + c) + distance**2 * whole
    if scale == 0.0:
        raise OpticsError(
            "The light focuses on a surface inside the eye. Check the lens power.", field="lens_power_d"
        )
    return (a + distance * whole) / scale, b / scale, (c + distance * whole) / scale


def _quadratic(ray: Ray, u: Vector, v: Vector) -> float:
    (a, b, c), (first, second) = ray.curvature, ray.across
    u1, u2, v1, v2 = _dot(u, first), _dot(u, second), _dot(v, first), _dot(v, second)
    return a * u1 * v1 + b * (u1 * v2 + u2 * v1) + c * u2 * v2


def _bend(surface: Placed, u: Vector, v: Vector) -> float:
    """Second derivative of the conic's equation along ``u`` and ``v``, halved like its gradient."""
    (ux, uy, uz), (vx, vy, vz) = _turn_back(surface.turn, u), _turn_back(surface.turn, v)
    return surface.shape.curvature_per_mm * (ux * vx + uy * vy + (1.0 + surface.shape.asphericity) * uz * vz)


def _reach(ray: Ray, surface: Placed) -> float:
    heading = _turn_back(surface.turn, ray.direction)
    a, b, q = ray_coefficients(surface.shape, _local(surface, ray.point), heading)
    root = math.copysign(math.sqrt(_positive(b * b - a * q)), heading[2])
    return float(q / (root - b))


def _positive(value: float) -> float:
    if value <= 0.0:
        raise OpticsError(
            "The chief ray misses the lens or is reflected in it. Check the tilt and decentration.",
            field="tilt_deg",
        )
    return value


def _frame(direction: Vector) -> tuple[Vector, Vector]:
    """Two unit vectors across ``direction`` and each other; ``direction`` is never along ``x``."""
    x, y, z = direction
    size = math.hypot(y, z)
    return (0.0, z / size, -y / size), (-size, x * y / size, x * z / size)


def _local(surface: Placed, point: Vector) -> Vector:
    return _plus(_turn_back(surface.turn, _plus(point, _times(surface.origin, -1.0))), surface.offset)


def _turn(turn: Matrix, vector: Vector) -> Vector:
    first, second, third = (_dot(row, vector) for row in turn)
    return first, second, third


def _turn_back(turn: Matrix, vector: Vector) -> Vector:
    x, y, z = vector
    first, second, third = (a * x + b * y + c * z for a, b, c in zip(*turn, strict=True))
    return first, second, third


def _dot(u: Vector, v: Vector) -> float:
    return u[0] * v[0] + u[1] * v[1] + u[2] * v[2]


def _plus(u: Vector, v: Vector) -> Vector:
    return u[0] + v[0], u[1] + v[1], u[2] + v[2]


def _times(u: Vector, factor: float) -> Vector:
    return u[0] * factor, u[1] * factor, u[2] * factor


def _length(u: Vector) -> float:
    return math.sqrt(_dot(u, u))
