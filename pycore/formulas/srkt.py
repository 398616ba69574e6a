"""SRK/T.

Equations (lengths mm, ``K`` keratometric with index 1.3375, ``r = 337.5 / K``)::

    Lcor = L                                 L <= 24.2
         = -3.446 + 1.716 L - 0.0237 L^2     L >  24.2
    Cw   = -5.41 + 0.58412 Lcor + 0.098 K
    q    = r^2 - Cw^2 / 4, not below 0
    H    = r - sqrt(q)
    d    = H + ACD - 3.336,  ACD = 0.62467 A - 68.747
    Lopt = L + 0.65696 - 0.02029 L           (uses L, not Lcor)
    Dc   = 333 / r

Source: Retzlaff JA, Sanders DR, Kraff MC, J Cataract Refract Surg 1990;16:333-340 (equations
from memory; an erratum, 1990;16:528, was not seen). Where ``q`` nears zero the height has a
cusp: Sheard RM, Smith GT, Cooke DL, J Cataract Refract Surg 2010;36:1829-1834. Computed for
every positive length and power, with cautions. Checked by tests/published/test_formulas.py.
"""

from __future__ import annotations

import math
from typing import Final

from pycore.formulas.constants import SRKT_ACD_PER_A, srkt_acd_mm
from pycore.formulas.eye import Biometry, Caution, Formula, LensConstants, ThinEye

#: Lengths above this are corrected before the corneal width, mm.
LONG_EYE_MM: Final = 24.2
#: The corrected length peaks here and then falls: ``1.716 / (2 * 0.0237)``, mm.
CORRECTION_PEAK_MM: Final = 1.716 / (2.0 * 0.0237)
#: Mean corneal height of the paper's data, mm.
MEAN_HEIGHT_MM: Final = 3.336
#: Corneal index 1.333 less one, times 1000.
CORNEAL_INDEX_EXCESS: Final = 333.0
#: Below this radicand (mm^2) the cusp is close; our choice.
NEAR_CUSP_MM2: Final = 5.0

_BEYOND_CUSP: Final[Caution] = (
    "srkt_beyond_cusp",
    "Long or steep eye beyond the cusp of SRK/T's corneal height: do not rely on its power.",
)
_NEAR_CUSP: Final[Caution] = (
    "srkt_near_cusp",
    "This eye is near the cusp of SRK/T's corneal height: the power changes oddly with K.",
)
_CORRECTION_TURNS: Final[Caution] = (
    "srkt_length_correction_turns",
    "Beyond 36.2 mm SRK/T's length correction falls again: do not rely on its power.",
)


def corrected_length_mm(axial_length_mm: float) -> float:
    """``Lcor``, used for the corneal width only."""
    if axial_length_mm <= LONG_EYE_MM:
        return axial_length_mm
    return -3.446 + 1.716 * axial_length_mm - 0.0237 * axial_length_mm**2


def corneal_width_mm(*, axial_length_mm: float, k_mean_d: float) -> float:
    """``Cw``, the computed corneal width."""
    return -5.41 + 0.58412 * corrected_length_mm(axial_length_mm) + 0.098 * k_mean_d


def radicand_mm2(biometry: Biometry) -> float:
    """``r^2 - Cw^2 / 4`` before the paper's floor at zero."""
    width = corneal_width_mm(axial_length_mm=biometry.axial_length_mm, k_mean_d=biometry.k_mean_d)
    return biometry.radius_mm**2 - width**2 / 4.0


def corneal_height_mm(biometry: Biometry) -> float:
    """``H``; the radicand is floored at zero as in the paper."""
    return biometry.radius_mm - math.sqrt(max(radicand_mm2(biometry), 0.0))


def optical_length_mm(axial_length_mm: float) -> float:
    """``L + 0.65696 - 0.02029 L``: the length to the receptors."""
    return axial_length_mm + 0.65696 - 0.02029 * axial_length_mm


def predict(biometry: Biometry, constants: LensConstants) -> ThinEye:
    """Length, lens position and corneal power of SRK/T; raises for a missing A constant."""
    return ThinEye(
        axial_length_mm=optical_length_mm(biometry.axial_length_mm),
        lens_position_mm=corneal_height_mm(biometry) + srkt_acd_mm(constants) - MEAN_HEIGHT_MM,
        corneal_power_d=CORNEAL_INDEX_EXCESS / biometry.radius_mm,
        cautions=(*_cusp(radicand_mm2(biometry)), *_very_long(biometry.axial_length_mm)),
    )


def _cusp(radicand: float) -> tuple[Caution, ...]:
    if radicand <= 0.0:
        return (_BEYOND_CUSP,)
    return (_NEAR_CUSP,) if radicand < NEAR_CUSP_MM2 else ()


def _very_long(axial_length_mm: float) -> tuple[Caution, ...]:
    return (_CORRECTION_TURNS,) if axial_length_mm > CORRECTION_PEAK_MM else ()


FORMULA: Final = Formula(
    name="srkt",
    label="SRK/T",
    citation="Retzlaff JA, Sanders DR, Kraff MC. J Cataract Refract Surg 1990;16:333-340",
    constant="a",
    position_per_constant=SRKT_ACD_PER_A,
    predict=predict,
    constants_used=lambda constants: {"acd_mm": srkt_acd_mm(constants)},
)
