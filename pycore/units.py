"""Constants of the optics and conversions between units.

Lengths in millimetres, powers in dioptres, angles in degrees, unless a name says otherwise.
"""

from __future__ import annotations

from typing import Final

#: Refractive index of aqueous and vitreous in all four thin-lens formulas
#: (Retzlaff, Sanders, Kraff, J Cataract Refract Surg 1990;16:333-340; value from memory).
AQUEOUS_INDEX: Final = 1.336

#: Reduced by 1000 so that ``index / millimetres`` gives dioptres.
AQUEOUS_INDEX_MM: Final = 1000 * AQUEOUS_INDEX

#: Index by which keratometers turn a radius into a power (7.5 mm <-> 45.0 D).
KERATOMETER_INDEX: Final = 1.3375

#: Distance from spectacle plane to cornea used by the four formulas, mm.
STANDARD_VERTEX_MM: Final = 12.0


def keratometric_power_d(radius_mm: float, *, index: float = KERATOMETER_INDEX) -> float:
    """Corneal power from a radius: ``K = 1000 (n_k - 1) / r``.

    >>> round(keratometric_power_d(7.5), 6)
    45.0
    """
    return 1000.0 * (index - 1.0) / radius_mm


def corneal_radius_mm(power_d: float, *, index: float = KERATOMETER_INDEX) -> float:
    """Radius from a keratometric power: ``r = 1000 (n_k - 1) / K``.

    >>> round(corneal_radius_mm(45.0), 6)
    7.5
    """
    return 1000.0 * (index - 1.0) / power_d
