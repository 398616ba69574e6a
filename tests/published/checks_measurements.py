"""Ultrasound velocities, corneal indices and population figures."""

from __future__ import annotations

from typing import Final

from pycore.planning.measurements.axial_length import (
    at_velocity_mm,
    phakic_from_1532_mm,
    pseudophakic_from_1532_mm,
)
from pycore.planning.measurements.cornea import after_laser_d, front_power_d, total_power_d
from pycore.planning.measurements.population import MEAN_POWER_D
from pycore.planning.measurements.velocities import TISSUE, Segment, mean_velocity_m_s
from pycore.units import keratometric_power_d
from tests.published.check import OutsideCheck

HOFFER: Final = "Hoffer KJ, J Cataract Refract Surg 1994;20:554-562"
ARITHMETIC: Final = "whole-eye conversion, computed independently"
INDICES: Final = "K = 1000 (n - 1) / r at r 7.70 mm, computed independently"
SHAMMAS: Final = "Shammas HJ, Shammas MC, J Cataract Refract Surg 2007;33:31-36, computed independently"
HYPEROPIC: Final = "J Cataract Refract Surg 2013;39:739-744, computed independently"
TOTAL: Final = "J Refract Surg 2023;39:266-272; Olsen T: 1.3375 is about 1 D above the total power"
SENSITIVITY: Final = "Briesen S et al., Ophthalmologe 2010;107:354-8, mean power 21.56 D"


def _segments(*parts: tuple[str, float]) -> float:
    return mean_velocity_m_s([Segment(length, TISSUE[tissue].m_per_s) for tissue, length in parts])


#: A phakic eye of 23.5 mm: cornea 0.55 mm, lens 4.72 mm (Holladay JT et al., J Cataract Refract Surg
#: 2003;29:176-197, average eye, from a secondary source).
PHAKIC: Final = (("cornea", 0.55), ("natural_lens", 4.72), ("vitreous", 18.23))
APHAKIC: Final = (("cornea", 0.55), ("vitreous", 22.95))


def _index(index: float, expected: float) -> OutsideCheck:
    return OutsideCheck(f"corneal power of 7.70 mm at index {index:.4f}", INDICES, "consistency", expected,
                        0.0005, lambda: keratometric_power_d(7.7, index=index))


CHECKS: Final[list[OutsideCheck]] = [
    OutsideCheck("mean velocity, phakic eye of 23.5 mm", HOFFER, "journal", 1555.0, 1.0,
                 lambda: _segments(*PHAKIC)),
    OutsideCheck("mean velocity, aphakic eye", HOFFER, "journal", 1534.0, 1.0, lambda: _segments(*APHAKIC)),
    OutsideCheck("lens of 1 mm, PMMA", HOFFER, "journal", 0.48, 1e-9,
                 lambda: pseudophakic_from_1532_mm(23.0, material="pmma", thickness_mm=1.0) - 23.0),
    OutsideCheck("lens of 1 mm, silicone", HOFFER, "journal", -0.52, 1e-9,
                 lambda: pseudophakic_from_1532_mm(23.0, material="silicone_lens", thickness_mm=1.0) - 23.0),
    OutsideCheck("lens of 1 mm, acrylic", "1 - 1532/2120, velocity from memory", "memory", 0.32, 0.005,
                 lambda: pseudophakic_from_1532_mm(23.0, material="acrylic", thickness_mm=1.0) - 23.0),
    OutsideCheck("phakic eye of 23.5 mm at 1532 m/s reads short by", f"{HOFFER}: 0.32 to 0.36 mm", "journal",
                 0.34, 0.02, lambda: phakic_from_1532_mm(23.5) - 23.5),
    OutsideCheck("phakic relation and ratio of velocities agree at 23.5 mm", HOFFER, "journal",
                 23.5 * 1555.0 / 1532.0, 0.02, lambda: phakic_from_1532_mm(23.5)),
    OutsideCheck("aphakic eye left on 1550 m/s", ARITHMETIC, "consistency", 23.227, 0.0005,
                 lambda: at_velocity_mm(23.5, set_m_s=1550.0, true_m_s=1532.0)),
    OutsideCheck("aphakic eye left on 1555 m/s", ARITHMETIC, "consistency", 23.152, 0.0005,
                 lambda: at_velocity_mm(23.5, set_m_s=1555.0, true_m_s=1532.0)),
    *(_index(index, power) for index, power in (
        (1.3375, 43.831), (1.336, 43.636), (4.0 / 3.0, 43.290), (1.333, 43.247), (1.3315, 43.052),
    )),
    OutsideCheck("front face over K", "index 1.376 against 1.3375, secondary source", "secondary", 1.114, 0.0005,
                 lambda: front_power_d(7.7) / keratometric_power_d(7.7)),
    OutsideCheck("K above total power at 7.70 mm", TOTAL, "journal", 1.0, 0.3,
                 lambda: keratometric_power_d(7.7) - total_power_d(7.7)),
    OutsideCheck("no history after myopic laser, K 38", SHAMMAS, "secondary", 36.52, 1e-9,
                 lambda: after_laser_d(38.0, corrected_for="myopia")),
    OutsideCheck("no history after hyperopic laser, K 46", HYPEROPIC, "journal", 46.1484, 1e-9,
                 lambda: after_laser_d(46.0, corrected_for="hyperopia")),
    OutsideCheck("mean power of the population", SENSITIVITY, "journal", 21.56, 1e-9, lambda: MEAN_POWER_D),
]
