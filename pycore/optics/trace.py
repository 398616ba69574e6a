"""Real-ray trace of the thick eye with the lens in any pose, and what the pose adds.

The only module that needs numpy; importing it without numpy raises
:class:`~pycore.errors.NumpyNotReady`.

Direction and fovea. Rays are traced **backward**, from a point on the retina out of the eye, as
an aberrometer sees them. The point is where the chief ray of a distant object on the corneal
axis lands on the plane retina at the axial length (the patient turns the eye to look at the
object), so the chief ray leaves along the corneal axis whatever the pose.

Pivot and frame. The lens is turned about its **centre** (mid-thickness on its own axis), then
shifted; turned about its front vertex instead the same angle gives about a tenth less cylinder.
The trace frame is right-handed, ``z`` into the eye from the corneal vertex, ``y`` up, so ``x``
points to the observer's *left*; axes answered are TABO, 180 minus the trace frame's
(:mod:`pycore.optics.pose`).

Wavefront. ``W = -(optical path from the retinal point to the plane z = 0)``, in micrometres, at
the points where the rays cross that plane inside a circle of ``pupil_mm`` about the corneal
axis, fitted by Zernike polynomials to order 8. Myopia gives a positive c(2,0).

Refraction, two definitions:

- **Real ray** (the one shown): least RMS wavefront over the pupil, at the corneal vertex
  ``M = -4 sqrt3 c(2,0) / r^2``, ``J0 = -2 sqrt6 c(2,2) / r^2``, ``J45 = -2 sqrt6 c(2,-2) / r^2``.
- **Paraxial** (answered beside it): the wavefront's curvature on the chief ray, in
  :mod:`pycore.optics.chief_ray`.

Because a spherical lens has spherical aberration the real-ray refraction of the *centred* eye
differs from the paraxial one by tenths of a dioptre; that cancels in the difference, so only what
the pose **adds** to the centred lens is shown (:mod:`pycore.optics.induced`). Tilt and
decentration are traced together; their separate effects do not add.

Limits: one wavelength, round cornea, plane retina, no angle kappa, no vignetting by iris or optic
edge, spherical equiconvex lens (see :mod:`pycore.optics.thick_eye`). Checked by
tests/reference/test_tilt_reference.py (three independent tracers),
tests/published/checks_tilt.py and tests/limits/test_tilt_identities.py.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from pycore.errors import NumpyNotReady, OpticsError
from pycore.optics import zernike
from pycore.optics.conic import Conic, normal, ray_coefficients
from pycore.optics.induced import Induced, at_spectacle_plane, difference
from pycore.optics.paraxial import AIR_INDEX
from pycore.optics.placed import Placed, placed_surfaces, turned_round
from pycore.optics.pose import CENTRED, Pose
from pycore.optics.refraction import PowerVector
from pycore.optics.thick_eye import ThickEye
from pycore.units import STANDARD_VERTEX_MM

try:
    import numpy as np
except ImportError as error:
    raise NumpyNotReady("The ray trace needs numpy, which is still loading. Ask again shortly.") from error

Array = Any

#: Rings of the hexapolar pupil grid: 1 + 3 * 11 * 12 = 397 rays.
RINGS: Final = 11
#: Highest Zernike order fitted; 45 modes.
ORDER: Final = 8
#: Most steps that bring each ray to its wanted place in the pupil, and how near is near enough,
#: as a share of the pupil's radius; the fit uses the true places.
AIM_STEPS: Final = 40
AIM_TOLERANCE: Final = 1e-3


@dataclass(frozen=True, slots=True)
class Measured:
    """Correction (D, TABO) of one eye as an aberrometer sees it, and its coma (um RMS)."""

    correction: PowerVector
    coma_um: float


@dataclass(frozen=True, slots=True)
class _Surface:
    """A placed surface with its matrix and vectors as arrays."""

    shape: Conic
    index_before: float
    index_after: float
    turn: Array
    origin: Array
    offset: Array


def induced(
    eye: ThickEye, pose: Pose, *, pupil_mm: float, vertex_mm: float = STANDARD_VERTEX_MM
) -> tuple[Induced, float]:
    """Refraction that ``pose`` adds to the centred lens, and the posed eye's coma (um RMS).

    The centred eye has no coma. Raises :class:`OpticsError` when rays miss a surface or a
    refraction has no spectacle plane.
    """
    posed = refraction(eye, pose, pupil_mm=pupil_mm, vertex_mm=vertex_mm)
    centred = refraction(eye, CENTRED, pupil_mm=pupil_mm, vertex_mm=vertex_mm)
    return difference(posed.correction, centred.correction), posed.coma_um


def refraction(
    eye: ThickEye, pose: Pose, *, pupil_mm: float, vertex_mm: float = STANDARD_VERTEX_MM
) -> Measured:
    """Correction of the posed eye at ``vertex_mm`` in front of the cornea; minus is myopic.

    Each principal meridian is moved on its own, ``Rs = Rc / (1 + V Rc / 1000)``.
    """
    seen = corneal_refraction(eye, pose, pupil_mm=pupil_mm)
    return Measured(at_spectacle_plane(seen.correction, vertex_mm), seen.coma_um)


def corneal_refraction(eye: ThickEye, pose: Pose, *, pupil_mm: float) -> Measured:
    """Correction at the corneal vertex plane from the fitted wavefront, with its coma.

    J45 changes sign from the trace frame to TABO.
    """
    coefficients = wavefront_um(eye, pose, pupil_mm=pupil_mm)
    scale = 2.0 / (pupil_mm / 2.0) ** 2

    def at(n: int, m: int) -> float:
        return float(coefficients[zernike.osa_index(n, m)])

    correction = PowerVector(
        m_d=-scale * 2.0 * math.sqrt(3.0) * at(2, 0),
        j0_d=-scale * math.sqrt(6.0) * at(2, 2),
        j45_d=scale * math.sqrt(6.0) * at(2, -2),
    )
    return Measured(correction, math.hypot(at(3, 1), at(3, -1)))


def wavefront_um(eye: ThickEye, pose: Pose, *, pupil_mm: float, rings: int = RINGS) -> Array:
    """OSA coefficients (um RMS) of the outgoing wavefront over ``pupil_mm`` at the cornea.

    The mean is left out of account: the wavefront is counted from the chief ray.
    """
    wanted = pupil_mm / 2.0 * _hexapolar(rings)
    landing, path = _aimed(_outward(eye, pose), retinal_point_mm(eye, pose), wanted)
    basis = _zernike_basis(landing / (pupil_mm / 2.0))
    path = path - path[0]  # piston only; keeps the rounding of 24 mm out of the fit
    return np.linalg.lstsq(basis, -1000.0 * path, rcond=None)[0]


def retinal_point_mm(eye: ThickEye, pose: Pose) -> Array:
    """Where a ray entering along the corneal axis lands on the retina, trace frame."""
    start = np.array([[0.0], [0.0], [-1.0]])
    axis = np.array([[0.0], [0.0], [1.0]])
    points, directions, _ = _through(_surfaces(eye, pose), start, axis)
    return _to_plane(points, directions, eye.axial_length_mm)[0][:, 0]


def beam_at_lens_mm(eye: ThickEye, pose: Pose, *, pupil_mm: float) -> float:
    """How far from the optic's own axis the pupil's edge meets the lens's front face.

    A bound for the warning that light would pass beside the optic.
    """
    edge = pupil_mm / 2.0 * _hexapolar(1)
    start = np.vstack([edge.T, np.full(len(edge), -1.0)])
    along = np.zeros_like(start)
    along[2] = 1.0
    points, _, _ = _through(_surfaces(eye, pose)[:3], start, along)
    local = _local(_surfaces(eye, pose)[2], points)
    return float(np.max(np.hypot(local[0], local[1])))


def _surfaces(eye: ThickEye, pose: Pose) -> list[_Surface]:
    """The four surfaces in the order light meets them."""
    return [_prepared(placed) for placed in placed_surfaces(eye, pose)]


def _outward(eye: ThickEye, pose: Pose) -> list[_Surface]:
    """The four surfaces for light from the retina."""
    return [_prepared(turned_round(placed)) for placed in reversed(placed_surfaces(eye, pose))]


def _prepared(placed: Placed) -> _Surface:
    return _Surface(
        placed.shape,
        placed.index_before,
        placed.index_after,
        np.array(placed.turn),
        np.array(placed.origin).reshape(3, 1),
        np.array(placed.offset).reshape(3, 1),
    )


def _local(surface: _Surface, points: Array) -> Array:
    return surface.turn.T @ (points - surface.origin) + surface.offset


def _global(surface: _Surface, points: Array) -> Array:
    return surface.turn @ (points - surface.offset) + surface.origin


def _through(surfaces: Sequence[_Surface], points: Array, directions: Array) -> tuple[Array, Array, Array]:
    """Points on the last surface, directions behind it, optical path from the start (mm)."""
    path = np.zeros(points.shape[1])
    with np.errstate(invalid="ignore", divide="ignore"):
        for surface in surfaces:
            local, heading = _local(surface, points), surface.turn.T @ directions
            reach = _reach(surface.shape, local, heading)
            local = local + reach * heading
            heading = _refract(normal(surface.shape, local), heading, surface)
            points, directions = _global(surface, local), surface.turn @ heading
            path = path + surface.index_before * reach
    if not np.all(np.isfinite(directions)):
        raise OpticsError(
            "Some rays miss the lens or are reflected in it. Check the pupil, tilt and decentration.",
            field="pupil_mm",
        )
    return points, directions, path


def _reach(shape: Conic, points: Array, directions: Array) -> Array:
    a, b, q = ray_coefficients(shape, points, directions)
    return q / (-b + np.sign(directions[2]) * np.sqrt(b * b - a * q))


def _refract(gradient: tuple[Array, Array, Array], directions: Array, surface: _Surface) -> Array:
    """Snell's law in vector form; NaN beyond the critical angle."""
    across = np.array(gradient)
    across = across / np.sqrt(np.sum(across * across, axis=0))
    incident = np.sum(across * directions, axis=0)
    across, incident = across * np.sign(incident), np.abs(incident)
    ratio = surface.index_before / surface.index_after
    leaving = np.sqrt(1.0 - ratio**2 * (1.0 - incident**2))
    return ratio * directions + (leaving - ratio * incident) * across


def _to_plane(points: Array, directions: Array, z_mm: float) -> tuple[Array, Array]:
    reach = (z_mm - points[2]) / directions[2]
    return points + reach * directions, reach


def _aimed(outward: Sequence[_Surface], source: Array, wanted: Array) -> tuple[Array, Array]:
    """Rays from ``source`` that cross z = 0 at ``wanted``, with their optical paths.

    A linear map learnt from a narrow bundle gives the first aim; the same map then turns what
    is still missed into a correction.
    """
    probe = 0.01 * _hexapolar(1)
    landed, _ = _leave(outward, source, probe)
    centre = landed[0]
    inverse = np.linalg.pinv(np.linalg.lstsq(probe[1:], landed[1:] - centre, rcond=None)[0])
    aim = (wanted - centre) @ inverse
    near = AIM_TOLERANCE * float(np.max(np.abs(wanted)))
    for _ in range(AIM_STEPS):
        landed, path = _leave(outward, source, aim)
        missed = wanted - landed
        if np.max(np.abs(missed)) < near:
            return landed, path
        aim = aim + missed @ inverse
    raise OpticsError(
        "The light through this lens crosses itself before it leaves the eye, so it has no single "
        "refraction. Check the pupil, tilt, decentration and lens power.",
        field="pupil_mm",
    )


def _leave(outward: Sequence[_Surface], source: Array, aim: Array) -> tuple[Array, Array]:
    """Trace from ``source`` toward points ``aim`` of z = 0; where rays cross it, and the path."""
    start = np.repeat(source.reshape(3, 1), len(aim), axis=1)
    heading = np.vstack([aim.T, np.zeros(len(aim))]) - start
    heading = heading / np.sqrt(np.sum(heading * heading, axis=0))
    points, directions, path = _through(outward, start, heading)
    landed, reach = _to_plane(points, directions, 0.0)
    return landed[:2].T, path + AIR_INDEX * reach


@lru_cache(maxsize=4)
def _hexapolar(rings: int) -> Array:
    """Unit-disc points: one in the middle, then ``6 k`` on ring ``k``."""
    points = [(0.0, 0.0)]
    for ring in range(1, rings + 1):
        for step in range(6 * ring):
            angle = math.tau * step / (6 * ring)
            points.append((ring / rings * math.cos(angle), ring / rings * math.sin(angle)))
    return np.array(points)


def _zernike_basis(unit_points: Array) -> Array:
    radius = np.hypot(unit_points[:, 0], unit_points[:, 1])
    angle = np.arctan2(unit_points[:, 1], unit_points[:, 0])
    return np.stack([_zernike(n, m, radius, angle) for n, m in zernike.modes(ORDER)], axis=1)


def _zernike(n: int, m: int, radius: Array, angle: Array) -> Array:
    radial = sum(coefficient * radius**power for power, coefficient in zernike.radial_terms(n, m))
    turn = np.cos(m * angle) if m >= 0 else np.sin(-m * angle)
    return zernike.norm(n, m) * radial * turn
