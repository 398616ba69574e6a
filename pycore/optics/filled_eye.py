"""An aphakic eye filled to the cornea with one medium, such as silicone oil.

The cornea of :mod:`pycore.optics.thick_eye` with the medium behind its posterior face, and the
retina behind that::

    F1 = 376 / Ra    F2 = 1000 (m - 1.376) / Rp    R from both faces, 0.55 mm apart

The convex front of the oil adds power, so an oil-filled aphakic eye is less hyperopic than one
filled with aqueous (Stefansson E et al., Retina 1988;8:20-23: 10 to 12 D became 4 to 6 D). Oil
that does not reach the cornea has a front of its own, whose curve depends on posture: this is the
filled eye only. Minus is myopic. Checked by tests/published/checks_media.py.
"""

from __future__ import annotations

from typing import Final

from pycore.optics.paraxial import Face, corneal_refraction_d
from pycore.optics.thick_eye import CORNEA_INDEX, Cornea, round_cornea
from pycore.optics.vergence import to_spectacle_plane_d
from pycore.units import STANDARD_VERTEX_MM

#: From the internal limiting membrane, where ultrasound ends, to the receptors, mm (Holladay JT
#: et al., J Cataract Refract Surg 1988;14:17-24; value from memory).
RETINA_MM: Final = 0.2


def aphakic_refraction_d(
    *, axial_length_mm: float, k1_d: float, k2_d: float, medium_index: float
) -> float:
    """Spectacle refraction (D, 12 mm vertex) of an aphakic eye filled with one medium.

    Raises :class:`~pycore.errors.OpticsError` when no spectacle lens could correct it.
    """
    faces = _faces(round_cornea(k1_d=k1_d, k2_d=k2_d), medium_index)
    at_cornea = corneal_refraction_d(faces, axial_length_mm=axial_length_mm + RETINA_MM)
    return to_spectacle_plane_d(at_cornea, STANDARD_VERTEX_MM)


def _faces(cornea: Cornea, medium_index: float) -> tuple[Face, ...]:
    return (
        Face(cornea.anterior.curvature_per_mm, CORNEA_INDEX, cornea.thickness_mm),
        Face(cornea.posterior.curvature_per_mm, medium_index),
    )
