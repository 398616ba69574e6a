"""Thin-lens vergence: refraction from a lens power and back, written once.

All four published formulas reduce to an optical length ``L``, a lens position ``d`` and a
corneal power ``Dc``. With ``n = 1336`` (index 1.336, lengths in mm), a lens of power ``P``
and a refraction ``R`` at vertex distance ``V``::

    Rc = R / (1 - V R / 1000)              spectacle plane -> corneal plane
    R  = Rc / (1 + V Rc / 1000)            corneal plane -> spectacle plane
    P  = n / (L - d) - n z / (n - d z)     z = Dc + Rc
    Rc = n v / (n + d v) - Dc              v = n / (L - d) - P

The products are written without ``n / z`` and ``n / v``, so an emmetropic or afocal eye
(``z = 0``, ``v = 0``) needs no special case.

Signs: minus is myopic; ``d`` grows toward the retina. Valid for any finite numbers with
``d < L`` and a real image; otherwise :class:`~pycore.errors.OpticsError` with its field.
Source: thin-lens optics; the same two closed forms are printed by Retzlaff, Sanders, Kraff,
J Cataract Refract Surg 1990;16:333-340. Checked by tests/published/test_vergence.py and
tests/limits/test_vergence_identities.py.
"""

from __future__ import annotations

from dataclasses import dataclass

from pycore.errors import OpticsError
from pycore.units import AQUEOUS_INDEX_MM, STANDARD_VERTEX_MM
from pycore.words import say


@dataclass(frozen=True, slots=True)
class Slopes:
    """A refraction (D, spectacle plane) and its exact partial derivatives.

    Per mm for the two lengths, per D for the two powers. ``per_corneal_power`` holds the
    lens position fixed and takes the power in the formula's own index.
    """

    refraction_d: float
    per_axial_length: float
    per_lens_position: float
    per_corneal_power: float
    per_lens_power: float


def to_corneal_plane_d(
    refraction_d: float, vertex_mm: float, *, field: str = "refraction_d"
) -> float:
    """Refraction moved from the spectacle plane to the cornea, ``R / (1 - V R / 1000)``.

    >>> round(to_corneal_plane_d(13.0, 12.0), 2)
    15.4
    """
    divisor = 1.0 - vertex_mm * refraction_d / 1000.0
    if divisor <= 0.0:
        raise OpticsError(
            say(
                "A refraction of {refraction_d} D at {vertex_mm} mm focuses in front of the cornea. "
                "Check the refraction and the vertex distance.",
                refraction_d=f"{refraction_d:g}", vertex_mm=f"{vertex_mm:g}",
            ),
            field=field,
        )
    return refraction_d / divisor


def to_spectacle_plane_d(
    refraction_d: float, vertex_mm: float, *, field: str = "vertex_mm"
) -> float:
    """Refraction moved from the cornea to the spectacle plane, ``Rc / (1 + V Rc / 1000)``."""
    divisor = 1.0 + vertex_mm * refraction_d / 1000.0
    if divisor <= 0.0:
        raise OpticsError(
            say(
                "A refraction of {refraction_d} D at the cornea has its far point inside the vertex "
                "distance of {vertex_mm} mm. Check the lens power and the vertex distance.",
                refraction_d=f"{refraction_d:g}", vertex_mm=f"{vertex_mm:g}",
            ),
            field=field,
        )
    return refraction_d / divisor


def change_vertex_d(refraction_d: float, *, from_mm: float, to_mm: float) -> float:
    """The refraction at vertex distance ``to_mm`` that equals ``refraction_d`` at ``from_mm``."""
    return to_spectacle_plane_d(to_corneal_plane_d(refraction_d, from_mm), to_mm)


def vergence_at_lens_d(*, power_at_cornea_d: float, lens_position_mm: float) -> float:
    """Vergence at the lens, ``n z / (n - d z)``, of light leaving the cornea at ``z``."""
    divisor = AQUEOUS_INDEX_MM - lens_position_mm * power_at_cornea_d
    if divisor <= 0.0:
        raise OpticsError(
            say(
                "Light of vergence {power_at_cornea_d} D focuses before the lens at {lens_position_mm} "
                "mm. Check the corneal power, refraction and lens position.",
                power_at_cornea_d=f"{power_at_cornea_d:g}", lens_position_mm=f"{lens_position_mm:g}",
            ),
            field="lens_position_mm",
        )
    return AQUEOUS_INDEX_MM * power_at_cornea_d / divisor


def vergence_at_cornea_d(*, vergence_before_lens_d: float, lens_position_mm: float) -> float:
    """Inverse of :func:`vergence_at_lens_d`: ``n v / (n + d v)``."""
    divisor = AQUEOUS_INDEX_MM + lens_position_mm * vergence_before_lens_d
    if divisor <= 0.0:
        raise OpticsError(
            say(
                "The lens is too strong for its place: vergence {vergence_before_lens_d} D before a lens "
                "at {lens_position_mm} mm has no origin. Check the lens power.",
                vergence_before_lens_d=f"{vergence_before_lens_d:g}",
                lens_position_mm=f"{lens_position_mm:g}",
            ),
            field="lens_power_d",
        )
    return AQUEOUS_INDEX_MM * vergence_before_lens_d / divisor


def vergence_to_retina_d(*, axial_length_mm: float, lens_position_mm: float) -> float:
    """Vergence a lens at ``d`` must send out to focus at ``L``, ``n / (L - d)``."""
    gap = axial_length_mm - lens_position_mm
    if gap <= 0.0:
        raise OpticsError(
            say(
                "The lens position {lens_position_mm} mm is not in front of the retina at "
                "{axial_length_mm} mm. Check the axial length and the lens constants.",
                lens_position_mm=f"{lens_position_mm:g}", axial_length_mm=f"{axial_length_mm:g}",
            ),
            field="lens_position_mm",
        )
    return AQUEOUS_INDEX_MM / gap


def refraction_d(
    *,
    axial_length_mm: float,
    lens_position_mm: float,
    corneal_power_d: float,
    lens_power_d: float,
    vertex_mm: float = STANDARD_VERTEX_MM,
) -> float:
    """Spectacle refraction (D) of an eye with a lens of ``lens_power_d`` at ``lens_position_mm``.

    ``axial_length_mm`` is the formula's optical length, ``corneal_power_d`` its own corneal
    power. Negative answers are myopic.
    """
    behind = vergence_to_retina_d(
        axial_length_mm=axial_length_mm, lens_position_mm=lens_position_mm
    )
    at_cornea = vergence_at_cornea_d(
        vergence_before_lens_d=behind - lens_power_d, lens_position_mm=lens_position_mm
    )
    return to_spectacle_plane_d(at_cornea - corneal_power_d, vertex_mm)


def lens_power_d(
    *,
    axial_length_mm: float,
    lens_position_mm: float,
    corneal_power_d: float,
    refraction_d: float,
    vertex_mm: float = STANDARD_VERTEX_MM,
) -> float:
    """Unrounded lens power (D) that leaves ``refraction_d``; inverse of :func:`refraction_d`."""
    behind = vergence_to_retina_d(
        axial_length_mm=axial_length_mm, lens_position_mm=lens_position_mm
    )
    at_cornea = corneal_power_d + to_corneal_plane_d(refraction_d, vertex_mm)
    return behind - vergence_at_lens_d(
        power_at_cornea_d=at_cornea, lens_position_mm=lens_position_mm
    )


def refraction_and_slopes(
    *,
    axial_length_mm: float,
    lens_position_mm: float,
    corneal_power_d: float,
    lens_power_d: float,
    vertex_mm: float = STANDARD_VERTEX_MM,
) -> Slopes:
    """:func:`refraction_d` with its exact derivatives at the spectacle plane.

    With ``v2 = n/(L-d)``, ``v1 = v2 - P`` and ``m = n / (n + d v1)``, at the cornea:
    ``dRc/dd = m^2 P (P + 2 v1) / n`` (further back is more hyperopic), ``dRc/dP = -m^2``,
    ``dRc/dL = -m^2 v2^2 / n``, ``dRc/dDc = -1``; each times ``1 / (1 + V Rc / 1000)^2``.
    """
    behind = vergence_to_retina_d(
        axial_length_mm=axial_length_mm, lens_position_mm=lens_position_mm
    )
    before = behind - lens_power_d
    at_cornea = vergence_at_cornea_d(
        vergence_before_lens_d=before, lens_position_mm=lens_position_mm
    )
    corneal = at_cornea - corneal_power_d
    spectacle = to_spectacle_plane_d(corneal, vertex_mm)
    vertex_slope = 1.0 / (1.0 + vertex_mm * corneal / 1000.0) ** 2
    lens_slope = (
        AQUEOUS_INDEX_MM / (AQUEOUS_INDEX_MM + lens_position_mm * before)
    ) ** 2 * vertex_slope
    return Slopes(
        refraction_d=spectacle,
        per_axial_length=-lens_slope * behind**2 / AQUEOUS_INDEX_MM,
        per_lens_position=lens_slope
        * lens_power_d
        * (lens_power_d + 2.0 * before)
        / AQUEOUS_INDEX_MM,
        per_corneal_power=-vertex_slope,
        per_lens_power=-lens_slope,
    )


def power_for_change_d(
    *,
    present_refraction_d: float,
    target_d: float,
    corneal_power_d: float,
    lens_position_mm: float,
    vertex_mm: float = STANDARD_VERTEX_MM,
) -> float:
    """Power to add at ``lens_position_mm`` to take ``present_refraction_d`` to ``target_d``.

    No axial length: ``P = u(present) - u(target)`` with ``u(R) = n z / (n - d z)``. In an
    aphakic eye the whole lens; otherwise the change. Source: Holladay JT, Am J Ophthalmol
    1993;116:63-66 (equation from memory).
    """
    vergences = [
        vergence_at_lens_d(
            power_at_cornea_d=corneal_power_d
            + to_corneal_plane_d(refraction, vertex_mm, field=field),
            lens_position_mm=lens_position_mm,
        )
        for refraction, field in (
            (present_refraction_d, "present_refraction_d"),
            (target_d, "target_d"),
        )
    ]
    return vergences[0] - vergences[1]


def refraction_after_change_d(
    *,
    present_refraction_d: float,
    added_power_d: float,
    corneal_power_d: float,
    lens_position_mm: float,
    vertex_mm: float = STANDARD_VERTEX_MM,
) -> float:
    """Refraction after adding ``added_power_d``; the inverse of :func:`power_for_change_d`."""
    at_cornea = corneal_power_d + to_corneal_plane_d(
        present_refraction_d, vertex_mm, field="present_refraction_d"
    )
    at_lens = vergence_at_lens_d(power_at_cornea_d=at_cornea, lens_position_mm=lens_position_mm)
    after = vergence_at_cornea_d(
        vergence_before_lens_d=at_lens - added_power_d, lens_position_mm=lens_position_mm
    )
    return to_spectacle_plane_d(after - corneal_power_d, vertex_mm)
