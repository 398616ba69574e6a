"""Paraxial optics of centred surfaces: equivalent power, cardinal points, refraction.

Two quantities per ray, height ``y`` (mm) and reduced slope ``w = n u``; a surface of power
``F = 1000 (n' - n) c`` takes ``w -> w - y F / 1000`` and a gap ``t`` of index ``n`` takes
``y -> y + t w / n``. The product of these steps is ``[[A, B], [C, D]]`` with ``A D - B C = 1``,
and for a system that starts in air::

    P = -1000 C          equivalent power (D)
    f = -1000 / P        first focal length, F - H
    f' = 1000 n' / P     second focal length, F' - H'

Distances of the cardinal points are from the first vertex, positive into the eye. Valid for
any centred surfaces. Source: Atchison DA, Smith G, Optics of the Human Eye, 2000, app. 1
(value from memory). Checked by tests/published/checks_schematic_eyes.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pycore.errors import OpticsError

AIR_INDEX = 1.0

Matrix = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Face:
    """One surface: its curvature (1/mm), the index behind it, the gap (mm) to the next one."""

    curvature_per_mm: float
    index_after: float
    gap_after_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Cardinal:
    """Cardinal points (mm from the first vertex), focal lengths (mm) and power (D)."""

    power_d: float
    first_focal_length_mm: float
    second_focal_length_mm: float
    first_focus_mm: float
    second_focus_mm: float
    first_principal_mm: float
    second_principal_mm: float
    first_nodal_mm: float
    second_nodal_mm: float


def system_matrix(faces: Sequence[Face], *, index_before: float = AIR_INDEX) -> Matrix:
    """``A, B, C, D`` from just before the first face to just behind the last one.

    The gap after the last face is left out.
    """
    a, b, c, d = 1.0, 0.0, 0.0, 1.0
    index, gap = index_before, 0.0
    for face in faces:
        a, b = a + gap * c / index, b + gap * d / index
        bend = (face.index_after - index) * face.curvature_per_mm
        c, d = c - bend * a, d - bend * b
        index, gap = face.index_after, face.gap_after_mm
    return a, b, c, d


def cardinal_points(faces: Sequence[Face], *, index_before: float = AIR_INDEX) -> Cardinal:
    """The six cardinal points of ``faces``.

    Raises :class:`OpticsError` for an afocal system.
    """
    a, _, c, d = system_matrix(faces, index_before=index_before)
    if c == 0.0:
        raise OpticsError("These surfaces have no power and so no focal length.")
    last = sum(face.gap_after_mm for face in faces[:-1])
    index = faces[-1].index_after
    first, second = index_before / c, -index / c
    front_focus, back_focus = d * first, last + a * second
    return Cardinal(
        power_d=-1000.0 * c,
        first_focal_length_mm=first,
        second_focal_length_mm=second,
        first_focus_mm=front_focus,
        second_focus_mm=back_focus,
        first_principal_mm=front_focus - first,
        second_principal_mm=back_focus - second,
        first_nodal_mm=front_focus + second,
        second_nodal_mm=back_focus + first,
    )


def corneal_refraction_d(faces: Sequence[Face], *, axial_length_mm: float) -> float:
    """Correction (D) at the corneal vertex that focuses a distant point on the retina.

    The retina lies at ``axial_length_mm`` behind the first vertex. With the matrix carried on
    to the retina the correction is ``R = 1000 A / B``: a ray of height ``y`` and slope ``w`` in
    front lands at ``A y + B w``, and light of vergence ``R``, whose rays have
    ``w = -R y / 1000``, must land at zero. Minus is myopic.
    Raises :class:`OpticsError` if the last face is not in front of the retina.
    """
    a, b, c, d = system_matrix(faces)
    left = axial_length_mm - sum(face.gap_after_mm for face in faces[:-1])
    if left <= 0.0:
        raise OpticsError(
            "The lens does not fit in front of the retina. Check the axial length.", field="axial_length_mm"
        )
    index = faces[-1].index_after
    return 1000.0 * (a + left * c / index) / (b + left * d / index)
