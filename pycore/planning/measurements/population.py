"""A measurement that could not be had: what the other eye or the population says instead.

    K missing, length known     K = 43.86 - 0.4 (AL - 23.55), SD 1.4 D
    length missing, K known     the length whose emmetropic power is the population's mean,
                                21.56 +/- 1.96 D
    the fellow eye measured     its value

Published: with the length known its correlation with K helps, with the length missing the mean
power of the population does best (Schmitz JW et al., J Cataract Refract Surg 2012;38:1187-91);
emmetropic power 21.56 +/- 1.96 D, 14.8 to 27.2 (Briesen S et al., Ophthalmologe 2010;107:354-8);
average eye K 43.86 D, length 23.55 mm (Holladay JT et al., J Cataract Refract Surg
2003;29:176-197, from a secondary source). The slope and the spreads of K are our assumptions,
kept wide. Tests: tests/limits/test_measurements.py, tests/published/checks_measurements.py.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from pycore.errors import Infeasible
from pycore.planning.measurements.step import Confidence
from pycore.words import say

#: Mean emmetropic power of a population and its SD, D (Briesen et al. 2010).
MEAN_POWER_D: Final = 21.56
MEAN_POWER_SD_D: Final = 1.96
#: Eyes without a capsule are not that population (more long eyes, trauma): further SD, D, our
#: assumption.
OTHER_POPULATION_SD_D: Final = 1.5
#: Average eye (Holladay et al. 2003).
MEAN_CORNEA_D: Final = 43.86
MEAN_LENGTH_MM: Final = 23.55
#: Longer eyes have flatter corneas; size and remaining spread are our assumptions.
CORNEA_PER_LENGTH: Final = -0.4
CORNEA_SD_D: Final = 1.4
#: The slope is used as far from the average eye as this, mm, and held there: the longest and the
#: shortest eyes do not follow it. Our assumption.
FOLLOWED_MM: Final = 2.5
#: How far the two eyes of a person ordinarily differ: half of what is asked about
#: (:mod:`pycore.formulas.screening`) and a little more; our assumptions.
FELLOW_LENGTH_SD_MM: Final = 0.25
FELLOW_CORNEA_SD_D: Final = 0.6

SCHMITZ: Final = "Schmitz JW et al., J Cataract Refract Surg 2012;38:1187-91"
BRIESEN: Final = "Briesen S et al., Ophthalmologe 2010;107:354-8"

_SHORTEST_MM: Final = 14.0
_LONGEST_MM: Final = 40.0


@dataclass(frozen=True, slots=True)
class Estimate:
    """A stand-in for a measurement: its value, its SD, and where it is from."""

    value: float
    sd: float
    text: str
    source: str
    confidence: Confidence


def cornea_from_length(axial_length_mm: float) -> Estimate:
    """Mean keratometric power of eyes of this length, D."""
    away = axial_length_mm - MEAN_LENGTH_MM
    followed = min(max(away, -FOLLOWED_MM), FOLLOWED_MM)
    held = "" if followed == away else " The relation is not followed this far and is held at its end."
    return Estimate(
        MEAN_CORNEA_D + CORNEA_PER_LENGTH * followed,
        CORNEA_SD_D,
        say("Corneal power not measured: average of eyes of this length, slope assumed.{held}", held=held),
        SCHMITZ,
        "assumption",
    )


def length_from_mean_power(emmetropic_power_d: Callable[[float], float]) -> Estimate:
    """The length (mm) at which this eye would need the population's mean power.

    ``emmetropic_power_d`` is the base formula for the eye's own cornea. The SD is the
    population's power SD, and what this eye may differ from that population, over the slope.
    Raises :class:`Infeasible` when no length does.
    """
    length = _solve(emmetropic_power_d)
    step = 0.05
    slope = (emmetropic_power_d(length + step) - emmetropic_power_d(length - step)) / (2 * step)
    return Estimate(
        length,
        math.hypot(MEAN_POWER_SD_D, OTHER_POPULATION_SD_D) / abs(slope),
        say(
            "Axial length not measured: the length for the population's mean power {mean_power_d} D.",
            mean_power_d=MEAN_POWER_D,
        ),
        BRIESEN,
        "journal",
    )


def from_fellow(value: float, *, quantity: str) -> Estimate:
    """The fellow eye's value for this one; ``quantity`` is ``length`` or ``cornea``."""
    sd = {"length": FELLOW_LENGTH_SD_MM, "cornea": FELLOW_CORNEA_SD_D}[quantity]
    return Estimate(
        value,
        sd,
        "Not measured: the fellow eye's value, as if both eyes were alike.",
        "common practice, no source",
        "assumption",
    )


def _solve(power: Callable[[float], float]) -> float:
    """Power falls with length; halve the interval of possible lengths."""
    short, long = _SHORTEST_MM + 0.1, _LONGEST_MM - 0.1
    if not power(short) > MEAN_POWER_D > power(long):
        raise Infeasible(
            "No axial length gives this cornea the population's mean lens power. Check the corneal power.",
            field="k1_d",
        )
    for _ in range(60):
        middle = (short + long) / 2.0
        if power(middle) > MEAN_POWER_D:
            short = middle
        else:
            long = middle
    return (short + long) / 2.0
