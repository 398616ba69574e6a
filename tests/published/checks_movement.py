"""Change of refraction per mm that the optic moves, seen in eyes."""

from __future__ import annotations

from typing import Final

from pycore.optics.vergence import refraction_and_slopes
from tests.published.check import OutsideCheck
from tests.published.checks_formulas import power_of, predict

PUPIL_BLOCK: Final = "BMC Ophthalmol 2017, doi 10.1186/s12886-017-0427-1, 8 eyes"


def _per_mm(axial_length_mm: float, k_d: float) -> float:
    """D per mm further back, with the lens that leaves -0.50 D (Holladay 1, A 118.7)."""
    eye = predict("holladay1", axial_length_mm, k_d, a=118.7)
    return refraction_and_slopes(
        axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d, lens_power_d=power_of(eye, -0.5),
    ).per_lens_position


#: Relief of reverse pupil block: chamber 4.42 to 4.14 mm, -0.64 to -0.88 D, so 0.83 D per mm.
#: The lengths of the eyes are not given; means of eight eyes leave 0.5 to 1.4 D per mm.
CHECKS: Final[list[OutsideCheck]] = [
    OutsideCheck(
        f"D per mm of optic movement, axial length {length:g} mm", PUPIL_BLOCK, "journal", 0.95, 0.45,
        lambda length=length: _per_mm(length, 43.0),
    )
    for length in (24.0, 25.0)
]
