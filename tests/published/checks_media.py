"""Oil and gas behind the lens, against published changes and thin-lens figures."""

from __future__ import annotations

from typing import Final

from pycore.optics.filled_eye import aphakic_refraction_d
from pycore.optics.media import (
    BACK_SHARE,
    Eye,
    ShapedLens,
    corneal_refraction_in_d,
    extra_power_flat_back_d,
    shift_d,
)
from pycore.optics.vergence import lens_power_d
from pycore.units import AQUEOUS_INDEX
from tests.published.check import OutsideCheck
from tests.published.checks_formulas import predict

STEFANSSON: Final = "Stefansson E et al., Retina 1988;8:20-23: aphakic eyes 10 to 12 D become 4 to 6 D in oil"
FLAT_BACK: Final = "formula attributed to Patel 1995 and Meldrum 1996 (from memory): 3.4 to 4.2 D for 26 to 21 mm"
THIN_LENS: Final = "thin-lens optics, K 43.5 (index 1.333), lens at 5.25 mm, emmetropic, computed independently"

OIL: Final = 1.405
GAS: Final = 1.0
CORNEA_D: Final = 43.5 * 333.0 / 337.5


def thin_eye(axial_length_mm: float, lens_position_mm: float) -> Eye:
    """An eye with K 43.5 D in SRK/T's corneal index."""
    return Eye(axial_length_mm, lens_position_mm, CORNEA_D)


def thin_lens(eye: Eye, *, shape: str, index: float) -> ShapedLens:
    """The emmetropising lens with next to no thickness."""
    power = lens_power_d(axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm,
                         corneal_power_d=eye.corneal_power_d, refraction_d=0.0)
    curvature = power / (1000.0 * (index - AQUEOUS_INDEX))
    share = BACK_SHARE[shape]
    return ShapedLens((1.0 - share) * curvature, -share * curvature, 1e-9, index)


def oil_shift_d(axial_length_mm: float, lens_position_mm: float, *, shape: str, index: float) -> float:
    eye = thin_eye(axial_length_mm, lens_position_mm)
    return shift_d(eye, thin_lens(eye, shape=shape, index=index), medium_index=OIL)


def gas_at_cornea_d(*, shape: str, index: float) -> float:
    eye = thin_eye(23.5, 5.25)
    return corneal_refraction_in_d(eye, thin_lens(eye, shape=shape, index=index), medium_index=GAS)


def _extra(axial_length_mm: float) -> float:
    """With Hoffer Q, whose optical length is the axial length itself, at K 43.5 and A 118.7."""
    eye = predict("hoffer_q", axial_length_mm, 43.5, a=118.7)
    return extra_power_flat_back_d(axial_length_mm=eye.axial_length_mm,
                                   lens_position_mm=eye.lens_position_mm, medium_index=OIL)


def _aphakic(medium_index: float) -> float:
    return aphakic_refraction_d(axial_length_mm=24.0, k1_d=43.0, k2_d=44.0, medium_index=medium_index)


CHECKS: Final[list[OutsideCheck]] = [
    OutsideCheck("aphakic eye of 24 mm without oil", STEFANSSON, "journal", 11.0, 1.0,
                 lambda: _aphakic(AQUEOUS_INDEX)),
    OutsideCheck("aphakic eye of 24 mm full of oil", STEFANSSON, "journal", 5.0, 1.0, lambda: _aphakic(OIL)),
    # The chamber depths behind these two are not given; 0.5 mm of it is 0.1 D.
    OutsideCheck("extra power for oil, flat back, 26 mm", FLAT_BACK, "memory", 3.4, 0.1, lambda: _extra(26.0)),
    OutsideCheck("extra power for oil, flat back, 21 mm", FLAT_BACK, "memory", 4.2, 0.1, lambda: _extra(21.0)),
    OutsideCheck("oil, flat back left uncorrected, 26 mm", THIN_LENS, "consistency", 2.2, 0.05,
                 lambda: oil_shift_d(26.0, 5.7, shape="flat_back", index=1.49)),
    OutsideCheck("oil, flat back left uncorrected, 21 mm", THIN_LENS, "consistency", 2.9, 0.05,
                 lambda: oil_shift_d(21.0, 4.57, shape="flat_back", index=1.49)),
    *(
        OutsideCheck(f"oil, equiconvex lens of index {index}, 23.5 mm", THIN_LENS, "consistency", shift, 0.05,
                     lambda index=index: oil_shift_d(23.5, 5.25, shape="equiconvex", index=index))
        for index, shift in ((1.55, 4.6), (1.49, 5.4), (1.46, 6.1))
    ),
    *(
        OutsideCheck(f"gas at the cornea, {shape}, index {index}", THIN_LENS, "consistency", shift, tolerance,
                     lambda shape=shape, index=index: gas_at_cornea_d(shape=shape, index=index))
        for shape, index, shift, tolerance in (
            ("flat_back", 1.49, -13.5, 0.05), ("equiconvex", 1.55, -28.0, 0.5), ("equiconvex", 1.46, -39.0, 0.5),
        )
    ),
]
