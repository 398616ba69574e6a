"""Where a published formula expects the lens; the truth scatters around it.

Holladay JT, Musgrove KH, Prager TC, et al., J Cataract Refract Surg 1988;14:17-24: written
again here from its equations. Surgeon factor 1.51 mm: the reference lens of Holladay, J
Cataract Refract Surg 2003;29:176-197.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.simulation.cohort.optics import Array

SURGEON_FACTOR_MM = 1.51


@dataclass(frozen=True, slots=True)
class ThinEyes:
    """Optical length, lens position at the reference state, corneal power of each eye."""

    length_mm: Array
    position_mm: Array
    cornea_d: Array


def expected(axial_length_mm: Array, keratometry_d: Array) -> ThinEyes:
    """The thin eyes of these measurements (keratometer index 1.3375)."""
    radius = 337.5 / keratometry_d
    dome = np.maximum(radius, 7.0)
    half = np.minimum(12.5 / 23.45 * axial_length_mm, 13.5) / 2
    depth = 0.56 + dome - np.sqrt(dome**2 - half**2)
    return ThinEyes(axial_length_mm + 0.2, depth + SURGEON_FACTOR_MM, 1000 / 3 / radius)
