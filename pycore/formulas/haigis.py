"""Haigis.

Equations (lengths mm, ``r = 337.5 / K``)::

    d  = a0 + a1 VK + a2 AL                              VK = phakic chamber depth
       = (a0 - 0.241 a1) + (a2 + 0.139 a1) AL            without VK
    L  = AL,  Dc = 331.5 / r

An eye without its natural lens has no ``VK``: the second line is used and said so. Source:
Haigis W, Lege B, Miller N, Schneider B, Graefes Arch Clin Exp Ophthalmol 2000;238:765-773
(equations from memory). Constants converted from A run about 1 D strong and are cautioned.
Computed for every positive length and power; raises :class:`~pycore.errors.MissingField`
without a0 or A. Checked by tests/published/test_formulas.py.
"""

from __future__ import annotations

from typing import Final

from pycore.formulas.constants import haigis_a0, haigis_cautions, haigis_slopes
from pycore.formulas.eye import Biometry, Caution, Formula, LensConstants, ThinEye

#: Corneal index 1.3315 less one, times 1000.
CORNEAL_INDEX_EXCESS: Final = 331.5
#: Mean phakic chamber depth as a line over the axial length: ``-0.241 + 0.139 AL``, mm.
MEAN_DEPTH_AT_ZERO_MM: Final = -0.241
MEAN_DEPTH_PER_LENGTH: Final = 0.139

_NO_DEPTH: Final[Caution] = (
    "haigis_without_phakic_depth",
    "No phakic chamber depth: Haigis uses the mean depth for this axial length.",
)


def mean_phakic_acd_mm(axial_length_mm: float) -> float:
    """The depth the no-``VK`` branch stands for: ``-0.241 + 0.139 AL``."""
    return MEAN_DEPTH_AT_ZERO_MM + MEAN_DEPTH_PER_LENGTH * axial_length_mm


def lens_position_mm(biometry: Biometry, constants: LensConstants) -> float:
    """``d`` from the phakic depth, or from the axial length alone without one."""
    a1, a2 = haigis_slopes(constants)
    depth = biometry.phakic_acd_mm
    if depth is None:
        depth = mean_phakic_acd_mm(biometry.axial_length_mm)
    return haigis_a0(constants) + a1 * depth + a2 * biometry.axial_length_mm


def predict(biometry: Biometry, constants: LensConstants) -> ThinEye:
    """Length, lens position and corneal power of Haigis."""
    return ThinEye(
        axial_length_mm=biometry.axial_length_mm,
        lens_position_mm=lens_position_mm(biometry, constants),
        corneal_power_d=CORNEAL_INDEX_EXCESS / biometry.radius_mm,
        cautions=(*_depth(biometry), *haigis_cautions(constants)),
    )


def constants_used(constants: LensConstants) -> dict[str, float]:
    """``a0``, ``a1`` and ``a2`` as they enter the line."""
    a1, a2 = haigis_slopes(constants)
    return {"a0": haigis_a0(constants), "a1": a1, "a2": a2}


def _depth(biometry: Biometry) -> tuple[Caution, ...]:
    return (_NO_DEPTH,) if biometry.phakic_acd_mm is None else ()


FORMULA: Final = Formula(
    name="haigis",
    label="Haigis",
    citation="Haigis W, Lege B, Miller N, et al. Graefes Arch Clin Exp Ophthalmol 2000;238:765-773",
    constant="a0",
    position_per_constant=1.0,
    predict=predict,
    constants_used=constants_used,
)
