"""Hoffer Q.

Equations (lengths mm; ``K`` in D is read as an angle in degrees)::

    a   = AL, not below 18.5, not above 31.0      for the chamber depth only
    M,G = +1, 28 for a <= 23;  -1, 23.5 for a > 23
    ACD = pACD + 0.3 (a - 23.5) + tan(K)^2
          + 0.1 M (23.5 - a)^2 tan(0.1 (G - a)^2) - 0.99166
    d   = ACD + 0.05
    L   = AL,  Dc = K

Source: Hoffer KJ, J Cataract Refract Surg 1993;19:700-712, errata 1994;20:677; Zuberbuhler B,
Morrell AJ, 2007;33:2 (corrected equations from memory; the errata were not seen). Both
limits are the paper's and raise a caution when they act. Computed for every positive length
and every power whose tangent is finite; raises :class:`~pycore.errors.MissingField` without
an ACD constant or A. Checked by tests/published/test_formulas.py.
"""

from __future__ import annotations

import math
from typing import Final

from pycore.formulas.constants import pacd_mm
from pycore.formulas.eye import Biometry, Caution, Formula, LensConstants, ThinEye

#: The chamber depth follows the axial length between these, mm.
SHORTEST_MM: Final = 18.5
LONGEST_MM: Final = 31.0
#: Up to this length the first pair of M and G holds, mm.
SHORT_EYE_MM: Final = 23.0
#: Mean axial length of the formula, mm.
MEAN_AXIAL_LENGTH_MM: Final = 23.5
#: Constant subtracted so that the mean eye keeps its pACD, mm.
OFFSET_MM: Final = 0.99166
#: From the chamber depth to the lens position of the vergence, mm.
POSITION_OFFSET_MM: Final = 0.05

_LENGTH_LIMIT: Final[Caution] = (
    "hoffer_q_length_limit",
    "The eye is outside 18.5 to 31.0 mm: Hoffer Q's lens position no longer follows its length.",
)


def limited_length_mm(axial_length_mm: float) -> float:
    """The axial length as the chamber depth sees it."""
    return min(max(axial_length_mm, SHORTEST_MM), LONGEST_MM)


def chamber_depth_mm(*, axial_length_mm: float, k_mean_d: float, pacd_mm: float) -> float:
    """``ACD``: the predicted chamber depth."""
    length = limited_length_mm(axial_length_mm)
    sign, centre = (1.0, 28.0) if length <= SHORT_EYE_MM else (-1.0, 23.5)
    from_mean = length - MEAN_AXIAL_LENGTH_MM
    bend = 0.1 * sign * from_mean**2 * _tan_deg(0.1 * (centre - length) ** 2)
    return pacd_mm + 0.3 * from_mean + _tan_deg(k_mean_d) ** 2 + bend - OFFSET_MM


def predict(biometry: Biometry, constants: LensConstants) -> ThinEye:
    """Length, lens position and corneal power of Hoffer Q."""
    depth = chamber_depth_mm(
        axial_length_mm=biometry.axial_length_mm,
        k_mean_d=biometry.k_mean_d,
        pacd_mm=pacd_mm(constants),
    )
    return ThinEye(
        axial_length_mm=biometry.axial_length_mm,
        lens_position_mm=depth + POSITION_OFFSET_MM,
        corneal_power_d=biometry.k_mean_d,
        cautions=_cautions(biometry.axial_length_mm),
    )


def _tan_deg(angle_deg: float) -> float:
    return math.tan(math.radians(angle_deg))


def _cautions(axial_length_mm: float) -> tuple[Caution, ...]:
    return () if axial_length_mm == limited_length_mm(axial_length_mm) else (_LENGTH_LIMIT,)


FORMULA: Final = Formula(
    name="hoffer_q",
    label="Hoffer Q",
    citation="Hoffer KJ. J Cataract Refract Surg 1993;19:700-712; errata 1994;20:677 and 2007;33:2",
    constant="pacd_mm",
    position_per_constant=1.0,
    predict=predict,
    constants_used=lambda constants: {"pacd_mm": pacd_mm(constants)},
)
