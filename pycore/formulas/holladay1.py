"""Holladay 1.

Equations (lengths mm, ``r = 337.5 / K``)::

    Rag  = r, not below 7.0
    AG   = 12.5 AL / 23.45, not above 13.5
    aACD = 0.56 + Rag - sqrt(Rag^2 - AG^2 / 4)
    d    = aACD + SF
    L    = AL + 0.200
    Dc   = 1000 (4/3 - 1) / r                (the true radius, not Rag)

Source: Holladay JT, Musgrove KH, Prager TC, Lewis JW, Chandler TY, Ruiz RS, J Cataract
Refract Surg 1988;14:17-24 (equations from memory). Both limits are the paper's and raise a
caution when they act. Computed for every positive length and power; raises
:class:`~pycore.errors.MissingField` without a surgeon factor or A. Checked by
tests/published/test_formulas.py.
"""

from __future__ import annotations

import math
from typing import Final

from pycore.formulas.constants import surgeon_factor_mm
from pycore.formulas.eye import Biometry, Caution, Formula, LensConstants, ThinEye

#: Smallest corneal radius used for the chamber depth, mm.
SMALLEST_RADIUS_MM: Final = 7.0
#: Largest anterior segment diameter used for the chamber depth, mm.
LARGEST_DIAMETER_MM: Final = 13.5
#: Anterior segment diameter of the mean eye, and that eye's length, mm.
MEAN_DIAMETER_MM: Final = 12.5
MEAN_AXIAL_LENGTH_MM: Final = 23.45
#: Corneal thickness added to the dome height, mm.
CORNEAL_THICKNESS_MM: Final = 0.56
#: Retinal thickness added to the axial length, mm.
RETINAL_THICKNESS_MM: Final = 0.200
#: Net corneal index 4/3 less one, times 1000.
CORNEAL_INDEX_EXCESS: Final = 1000.0 / 3.0

_RADIUS_LIMIT: Final[Caution] = (
    "holladay1_radius_limit",
    "The cornea is steeper than 48.2 D: Holladay 1's lens position no longer follows it.",
)
_LENGTH_LIMIT: Final[Caution] = (
    "holladay1_length_limit",
    "The eye is longer than 25.3 mm: Holladay 1's lens position no longer follows its length.",
)


def uncapped_diameter_mm(axial_length_mm: float) -> float:
    """``12.5 AL / 23.45``, the anterior segment diameter before its cap."""
    return MEAN_DIAMETER_MM * axial_length_mm / MEAN_AXIAL_LENGTH_MM


def anatomic_acd_mm(biometry: Biometry) -> float:
    """``aACD``: cornea to iris plane, with both limits of the paper."""
    radius = max(biometry.radius_mm, SMALLEST_RADIUS_MM)
    diameter = min(uncapped_diameter_mm(biometry.axial_length_mm), LARGEST_DIAMETER_MM)
    return CORNEAL_THICKNESS_MM + radius - math.sqrt(radius**2 - diameter**2 / 4.0)


def predict(biometry: Biometry, constants: LensConstants) -> ThinEye:
    """Length, lens position and corneal power of Holladay 1."""
    return ThinEye(
        axial_length_mm=biometry.axial_length_mm + RETINAL_THICKNESS_MM,
        lens_position_mm=anatomic_acd_mm(biometry) + surgeon_factor_mm(constants),
        corneal_power_d=CORNEAL_INDEX_EXCESS / biometry.radius_mm,
        cautions=_cautions(biometry),
    )


def _cautions(biometry: Biometry) -> tuple[Caution, ...]:
    steep = biometry.radius_mm < SMALLEST_RADIUS_MM
    long = uncapped_diameter_mm(biometry.axial_length_mm) > LARGEST_DIAMETER_MM
    return (*((_RADIUS_LIMIT,) if steep else ()), *((_LENGTH_LIMIT,) if long else ()))


FORMULA: Final = Formula(
    name="holladay1",
    label="Holladay 1",
    citation="Holladay JT, Musgrove KH, Prager TC, et al. J Cataract Refract Surg 1988;14:17-24",
    constant="surgeon_factor_mm",
    position_per_constant=1.0,
    predict=predict,
    constants_used=lambda constants: {"surgeon_factor_mm": surgeon_factor_mm(constants)},
)
