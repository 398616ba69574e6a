"""Refraction with another medium behind the lens: silicone oil or gas instead of vitreous.

The base formula's thin eye (``L``, ``d``, ``Dc``) stays as it is for vitreous. Its lens becomes a
thick one of a given shape, put so that its first principal plane lies at ``d`` and its second one
``L - d`` in front of the retina: with index 1.336 behind it the refraction is exactly the thin
one. Then only the index behind the back face changes. With faces of curvature ``c1``, ``c2``,
lens index ``n``, thickness ``t`` and index ``m`` behind, vergences from the retina forward are::

    v = 1000 m / x                       x: back vertex to retina
    v - 1000 (m - n) c2                  back face
    v / (1 + t v / 1000 n)               through the lens
    v - 1000 (n - 1.336) c1              front face
    v / (1 + g v / 1336)                 g: cornea to front vertex
    Rc = v - Dc

Lens: label power in aqueous, ``P = F1 + F2 - (t / 1000 n) F1 F2`` with ``F2 / (F1 + F2)`` set by
the shape; 0.25 mm at its thinnest place within 6 mm. A flat back needs about
``1000 (m - 1.336) / (L - d)`` more power in oil, a convex back more, as it loses power there, a
concave back less (McCartney DL et al., Arch Ophthalmol 1987;105:1385-1387).

Signs: minus is myopic. Raises :class:`~pycore.errors.OpticsError` where no image forms and
:class:`~pycore.errors.Infeasible` where no lens of that power exists. Checked by
tests/published/checks_media.py and tests/limits/test_media.py.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from pycore.errors import Infeasible, OpticsError
from pycore.optics.conic import Conic, sag_mm
from pycore.optics.paraxial import Face, cardinal_points
from pycore.optics.vergence import lens_power_d, to_spectacle_plane_d
from pycore.units import AQUEOUS_INDEX, AQUEOUS_INDEX_MM, STANDARD_VERTEX_MM
from pycore.words import say

#: Index behind the lens. Oil 1.403 to 1.405 (secondary educational source), the upper end as the
#: larger change; saline is taken as vitreous.
MEDIA: Final = {"saline": AQUEOUS_INDEX, "oil": 1.405, "gas": 1.0}

#: Share of the back face in the sum of both faces' powers. Concave back: our assumption.
BACK_SHARE: Final = {
    "equiconvex": 0.5,
    "flat_back": 0.0,
    "flat_front": 1.0,
    "concave_back": -0.25,
}

#: Thinnest place of the lens, and the diameter of its optic, mm; our assumption.
EDGE_MM: Final = 0.25
OPTIC_MM: Final = 6.0
#: Label powers searched for a target, D.
WEAKEST_D: Final = -30.0
STRONGEST_D: Final = 60.0

_STEPS: Final = 200
_STRIDE_D: Final = 2.0


@dataclass(frozen=True, slots=True)
class Eye:
    """A base formula's thin eye: optical length, lens position, corneal power."""

    axial_length_mm: float
    lens_position_mm: float
    corneal_power_d: float


@dataclass(frozen=True, slots=True)
class ShapedLens:
    """Two faces' curvatures (1/mm, positive with the centre behind), thickness (mm), index."""

    front: float
    back: float
    thickness_mm: float
    index: float


def shaped_lens(*, power_d: float, shape: str, index: float) -> ShapedLens:
    """The lens of label power ``power_d`` and of a shape in :data:`BACK_SHARE`.

    Raises :class:`Infeasible` when its faces could not be 6 mm wide.
    """
    total = power_d
    for _ in range(_STEPS):
        lens = _with_faces(total, BACK_SHARE[shape], index, power_d)
        share = BACK_SHARE[shape]
        lost = lens.thickness_mm / (1000.0 * index) * share * (1.0 - share) * total**2
        previous, total = total, power_d + lost
        if abs(total - previous) < 1e-13:
            return lens
    raise _no_lens(power_d, index)


def refraction_in_d(
    eye: Eye, lens: ShapedLens, *, medium_index: float, vertex_mm: float = STANDARD_VERTEX_MM
) -> float:
    """Spectacle refraction with ``medium_index`` between lens and retina."""
    return to_spectacle_plane_d(corneal_refraction_in_d(eye, lens, medium_index=medium_index), vertex_mm)


def corneal_refraction_in_d(eye: Eye, lens: ShapedLens, *, medium_index: float) -> float:
    """The same at the cornea, where also tens of dioptres of myopia have a meaning."""
    first, second = _principal_planes_mm(lens)
    gap = eye.axial_length_mm - eye.lens_position_mm - (lens.thickness_mm - second)
    front = eye.lens_position_mm - first
    if gap <= 0.0 or front <= 0.0:
        raise OpticsError(
            "The lens does not fit between cornea and retina. Check the axial length and the lens "
            "constants.",
            field="axial_length_mm",
        )
    vergence = 1000.0 * medium_index / gap
    vergence -= 1000.0 * (medium_index - lens.index) * lens.back
    vergence = _upstream(vergence, lens.thickness_mm, 1000.0 * lens.index)
    vergence -= 1000.0 * (lens.index - AQUEOUS_INDEX) * lens.front
    return _upstream(vergence, front, AQUEOUS_INDEX_MM) - eye.corneal_power_d


def shift_d(eye: Eye, lens: ShapedLens, *, medium_index: float) -> float:
    """Change of the spectacle refraction from vitreous to the medium; plus is hyperopic."""
    changed = refraction_in_d(eye, lens, medium_index=medium_index)
    return changed - refraction_in_d(eye, lens, medium_index=AQUEOUS_INDEX)


def power_for_target_d(
    eye: Eye, *, shape: str, index: float, medium_index: float, target_d: float
) -> float:
    """Label power that leaves ``target_d`` with the medium in the eye, by halving.

    The search starts at the power for vitreous and goes toward the target in steps of 2 D. Raises
    :class:`Infeasible` when it meets :data:`WEAKEST_D` or :data:`STRONGEST_D`, or a power of which
    no such lens can be made, before the target.
    """

    def excess(power_d: float) -> float:
        lens = shaped_lens(power_d=power_d, shape=shape, index=index)
        return refraction_in_d(eye, lens, medium_index=medium_index) - target_d

    start = lens_power_d(
        axial_length_mm=eye.axial_length_mm,
        lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d,
        refraction_d=target_d,
    )
    weak, strong = _bracket(excess, start)
    for _ in range(48):
        middle = (weak + strong) / 2.0
        if excess(middle) > 0.0:
            weak = middle
        else:
            strong = middle
    return (weak + strong) / 2.0


def extra_power_flat_back_d(*, axial_length_mm: float, lens_position_mm: float, medium_index: float) -> float:
    """Power that oil asks of a flat-backed lens, ``1000 (m - 1.336) / (AL - ACD)``.

    Thin-lens optics; the formula is attributed to Patel 1995 and Meldrum 1996 (from memory).
    Raises :class:`OpticsError` unless the lens lies in front of the retina.
    """
    gap = axial_length_mm - lens_position_mm
    if gap <= 0.0:
        raise OpticsError(
            "The lens position is not in front of the retina. Check the axial length.",
            field="axial_length_mm",
        )
    return 1000.0 * (medium_index - AQUEOUS_INDEX) / gap


def _bracket(excess: Callable[[float], float], start_d: float) -> tuple[float, float]:
    """A weaker and a stronger power with the target between them; more power is more myopic."""
    up = excess(start_d) > 0.0
    power = start_d
    while WEAKEST_D <= power <= STRONGEST_D:
        further = power + (_STRIDE_D if up else -_STRIDE_D)
        try:
            passed = (excess(further) > 0.0) is not up
        except (Infeasible, OpticsError) as error:
            raise _out_of_reach() from error
        if passed:
            return (power, further) if up else (further, power)
        power = further
    raise _out_of_reach()


def _out_of_reach() -> Infeasible:
    return Infeasible(
        "No lens of this shape and index reaches the target with this medium. Choose another shape, or "
        "plan for the eye without it.",
        field="target_d",
    )


def _with_faces(total: float, share: float, index: float, power_d: float) -> ShapedLens:
    step = 1000.0 * (index - AQUEOUS_INDEX)
    front, back = (1.0 - share) * total / step, -share * total / step
    try:
        bulge = sag_mm(Conic(front), OPTIC_MM / 2.0) - sag_mm(Conic(back), OPTIC_MM / 2.0)
    except OpticsError as error:
        raise _no_lens(power_d, index) from error
    return ShapedLens(front, back, EDGE_MM + max(bulge, 0.0), index)


def _no_lens(power_d: float, index: float) -> Infeasible:
    return Infeasible(
        say(
            "No lens of {power_d} D, this shape and index {index} is {optic_mm} mm wide. Check the lens "
            "power and the index.",
            power_d=f"{power_d:g}", index=f"{index:g}", optic_mm=f"{OPTIC_MM:g}",
        ),
        field="lens_index",
    )


def _principal_planes_mm(lens: ShapedLens) -> tuple[float, float]:
    """Both principal planes behind the front vertex, in aqueous; of a plane plate those of the
    weakest symmetric lens."""
    if lens.front == lens.back == 0.0:
        half = lens.thickness_mm * AQUEOUS_INDEX / lens.index / 2.0
        return half, lens.thickness_mm - half
    faces = (Face(lens.front, lens.index, lens.thickness_mm), Face(lens.back, AQUEOUS_INDEX))
    points = cardinal_points(faces, index_before=AQUEOUS_INDEX)
    return points.first_principal_mm, points.second_principal_mm


def _upstream(vergence: float, distance_mm: float, index_mm: float) -> float:
    """Vergence a distance further toward the cornea, ``n v / (n + t v)``."""
    divisor = index_mm + distance_mm * vergence
    if divisor <= 0.0:
        raise OpticsError(
            "The lens is too strong for its place with this medium behind it. Check the lens power.",
            field="lens_power_d",
        )
    return index_mm * vergence / divisor
