"""Lens constants, corneal indices and prediction-error statistics."""

from __future__ import annotations

from statistics import NormalDist
from typing import Final

from pycore.audit.intervals import wilson
from pycore.audit.statistics import ErrorSummary, summarise
from pycore.formulas import constants
from pycore.units import keratometric_power_d
from tests.published.check import OutsideCheck

HOLLADAY_2003: Final = "Holladay JT et al., J Cataract Refract Surg 2003;29:176-197, average eye, as quoted"
INDEPENDENT: Final = "independent implementation of the published definition"
NEWCOMBE: Final = "Newcombe RG, Stat Med 1998;17:857-872, table I, score method"


def normal_errors(sd_d: float, count: int = 20_001) -> ErrorSummary:
    """Summary of evenly spaced quantiles of a zero-mean normal distribution."""
    spread = NormalDist(0.0, sd_d)
    return summarise([spread.inv_cdf((index + 0.5) / count) for index in range(count)])


def _index(index: float, power_d: float) -> OutsideCheck:
    return OutsideCheck(f"corneal power of radius 7.70 mm, index {index}", INDEPENDENT, "consistency",
                        power_d, 0.0005, lambda: keratometric_power_d(7.70, index=index))


def _share(sd_d: float, key: str, percent: float) -> OutsideCheck:
    return OutsideCheck(f"share {key} of a normal SD {sd_d}", "erf(x / (SD sqrt 2))", "consistency",
                        percent, 0.51, lambda: 100.0 * normal_errors(sd_d).within[key].fraction)


def _wilson(count: int, n: int, low: float, high: float) -> list[OutsideCheck]:
    return [
        OutsideCheck(f"score interval {count}/{n} {end}", NEWCOMBE, "memory", value, 0.00005,
                     lambda end=end: getattr(wilson(count, n), end))
        for end, value in (("low95", low), ("high95", high))
    ]


CHECKS: Final[list[OutsideCheck]] = [
    OutsideCheck("surgeon factor of A 118.5", HOLLADAY_2003, "secondary", 1.51, 0.005,
                 lambda: constants.surgeon_factor_from_a_mm(118.5)),
    OutsideCheck("ACD constant of A 118.5", HOLLADAY_2003, "secondary", 5.26, 0.005,
                 lambda: constants.pacd_from_a_mm(118.5)),
    OutsideCheck("surgeon factor of ACD 5.26", HOLLADAY_2003, "secondary", 1.51, 0.005,
                 lambda: constants.surgeon_factor_from_acd_mm(5.26)),
    OutsideCheck("Hoffer Q line is the two Holladay lines: slope", INDEPENDENT, "consistency",
                 0.583574, 5e-6, lambda: constants.PACD_PER_A),
    OutsideCheck("Hoffer Q line is the two Holladay lines: intercept", INDEPENDENT, "consistency",
                 -63.8963, 0.0005, lambda: constants.PACD_AT_ZERO_MM),
    OutsideCheck("ACD constant of A 118.7, Holladay's line", INDEPENDENT, "consistency", 5.374, 0.0005,
                 lambda: constants.pacd_from_a_mm(118.7)),
    OutsideCheck("ACD constant of A 118.7, SRK/T's line", INDEPENDENT, "consistency", 5.401, 0.0005,
                 lambda: constants.srkt_acd_from_a_mm(118.7)),
    OutsideCheck("Haigis a0 of A 118.7", INDEPENDENT, "consistency", 1.714, 0.0005,
                 lambda: constants.haigis_a0_from_a(118.7)),
    OutsideCheck("Haigis a0 intercept", "Haigis W et al., Graefes 2000;238:765-773", "memory", -72.434, 1e-9,
                 lambda: constants.haigis_a0_from_a(0.0)),
    OutsideCheck("keratometer radius 7.5 mm",
                 "calibration of keratometers, 7.5 mm reads 45.0 D", "journal", 45.0, 1e-9,
                 lambda: keratometric_power_d(7.5)),
    _index(1.3375, 43.831), _index(1.336, 43.636), _index(4.0 / 3.0, 43.290),
    _index(1.333, 43.247), _index(1.3315, 43.052),
    OutsideCheck("MAE of a normal with SD 1", "sqrt(2 / pi)", "consistency", 0.798, 0.0005,
                 lambda: normal_errors(1.0).mae_d),
    OutsideCheck("MedAE of a normal with SD 1", "0.75 quantile", "consistency", 0.674, 0.0006,
                 lambda: normal_errors(1.0).medae_d),
    _share(0.40, "within_025", 47), _share(0.40, "within_050", 79), _share(0.40, "within_075", 94),
    _share(0.40, "within_100", 99), _share(0.55, "within_025", 35), _share(0.55, "within_050", 64),
    _share(0.55, "within_075", 83), _share(0.55, "within_100", 93),
    OutsideCheck("score interval 18/30 low", INDEPENDENT, "consistency", 0.42, 0.005,
                 lambda: wilson(18, 30).low95),
    OutsideCheck("score interval 18/30 high", INDEPENDENT, "consistency", 0.75, 0.005,
                 lambda: wilson(18, 30).high95),
    *_wilson(81, 263, 0.2553, 0.3662), *_wilson(15, 148, 0.0624, 0.1605),
    *_wilson(0, 20, 0.0, 0.1611), *_wilson(1, 29, 0.0061, 0.1718),
]
