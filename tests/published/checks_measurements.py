"""Ultrasound velocities, corneal indices and population figures."""

from __future__ import annotations

from typing import Final

from pycore.belief.priors import AXIAL_LENGTH
from pycore.optics.vergence import lens_power_d, refraction_and_slopes
from pycore.planning.measurements.axial_length import (
    at_velocity_mm,
    phakic_from_1532_mm,
    pseudophakic_from_1532_mm,
)
from pycore.planning.measurements.cornea import after_laser_d, front_power_d, total_power_d
from pycore.planning.measurements.population import (
    MEAN_CORNEA_D,
    MEAN_POWER_D,
    cornea_from_length,
    length_from_mean_power,
)
from pycore.planning.measurements.velocities import TISSUE, Segment, mean_velocity_m_s
from pycore.units import keratometric_power_d
from tests.published.check import OutsideCheck
from tests.published.checks_formulas import predict

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


#: The same eyes with oil behind 3.5 mm of cornea and aqueous. How much aqueous lay before Hoffer's
#: oil is not said, and half a millimetre of it is 9 m/s; 980 and 987 m/s are both in use for the oil.
APHAKIC_OIL: Final = (("cornea", 0.55), ("aqueous", 2.95), ("oil_1000", 20.0))
PHAKIC_OIL: Final = (("cornea", 0.55), ("aqueous", 2.95), ("natural_lens", 4.72), ("oil_1000", 15.28))
OIL_M_S: Final = 9.0 + 7.0

CONTACT: Final = "Ademola-Popoola DS et al., J Curr Ophthalmol 2016;27:110-4, 92 adults"
#: Lengths printed to 0.01 mm (2 % of 0.27 mm); corneas and formula are not given: 0.1 D.
CHILDREN: Final = "Trivedi RH, Wilson ME, Ophthalmology 2011;118:498-502: 28.68 and 27.63 D for 0.27 mm"
PRESSURE: Final = "51 eyes, pressure lowered from 45.9 to 14.3 mmHg: 0.06 mm and 0.15 D for 10 mmHg (abstract)"
AVERAGE_EYE: Final = "Holladay JT et al., J Cataract Refract Surg 2003;29:176-197, average eye, as quoted"


def _emmetropic_d(axial_length_mm: float, keratometry_d: float, *, formula: str, a: float) -> float:
    """Power that makes an average eye emmetropic."""
    eye = predict(formula, axial_length_mm, keratometry_d, a=a)
    return lens_power_d(axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm,
                        corneal_power_d=eye.corneal_power_d, refraction_d=0.0)


def _length_for(power_d: float, *, formula: str) -> float:
    """Length of an eye of K 44 D that needs this power, A 118.5; by halving."""
    short, long = 18.0, 28.0
    for _ in range(50):
        middle = (short + long) / 2
        stronger = _emmetropic_d(middle, 44.0, formula=formula, a=118.5) > power_d
        short, long = (middle, long) if stronger else (short, middle)
    return short


def _power_for_shorter_d(formula: str) -> float:
    """What 0.27 mm less adds to the power of an eye that needs 27.63 D."""
    length = _length_for(27.63, formula=formula)
    return _emmetropic_d(length - 0.27, 44.0, formula=formula, a=118.5) - 27.63


def _soft_eye_d() -> float:
    """0.06 mm less of an ordinary eye with a lens of 21 D."""
    eye = predict("holladay1", 23.5, 43.5, a=118.5)
    return -0.06 * refraction_and_slopes(
        axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d, lens_power_d=21.0).per_axial_length


def _population_length_mm() -> float:
    """Length inferred from the average cornea and the population's mean power."""
    return length_from_mean_power(
        lambda length: _emmetropic_d(length, MEAN_CORNEA_D, formula="holladay1", a=118.5)).value


def _index(index: float, expected: float) -> OutsideCheck:
    return OutsideCheck(f"corneal power of 7.70 mm at index {index:.4f}", INDICES, "consistency", expected,
                        0.0005, lambda: keratometric_power_d(7.7, index=index))


CHECKS: Final[list[OutsideCheck]] = [
    OutsideCheck("mean velocity, phakic eye of 23.5 mm", HOFFER, "journal", 1555.0, 1.0,
                 lambda: _segments(*PHAKIC)),
    OutsideCheck("mean velocity, aphakic eye", HOFFER, "journal", 1534.0, 1.0, lambda: _segments(*APHAKIC)),
    OutsideCheck("mean velocity, aphakic eye full of oil", HOFFER, "journal", 1052.0, OIL_M_S,
                 lambda: _segments(*APHAKIC_OIL)),
    OutsideCheck("mean velocity, phakic eye with oil for vitreous", HOFFER, "journal", 1139.0, OIL_M_S,
                 lambda: _segments(*PHAKIC_OIL)),
    OutsideCheck("contact scan reads short: belief's mean", CONTACT, "journal", 0.20, 1e-9,
                 lambda: AXIAL_LENGTH["contact"].mean),
    OutsideCheck("contact scan reads short: belief's SD", CONTACT, "journal", 0.26, 1e-9,
                 lambda: AXIAL_LENGTH["contact"].sd),
    *(OutsideCheck(f"0.27 mm of a short eye, lens power by {name}", CHILDREN, "journal", 1.05, 0.1,
                   lambda name=name: _power_for_shorter_d(name)) for name in ("srkt", "holladay1", "hoffer_q")),
    # The length is printed to 0.01 mm, that is 0.03 D.
    OutsideCheck("a softer eye reads hyperopic, 10 mmHg", PRESSURE, "journal", 0.15, 0.03, _soft_eye_d),
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
    OutsideCheck("corneal power of the average length", AVERAGE_EYE, "secondary", 43.86, 1e-9,
                 lambda: cornea_from_length(23.55).value),
    # Two populations: one mean power's SD, 1.96 D, is 0.73 mm.
    OutsideCheck("length for the mean power and the average cornea", f"{AVERAGE_EYE}; {SENSITIVITY}", "secondary",
                 23.55, 0.73, _population_length_mm),
]
