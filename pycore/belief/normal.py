"""The one-dimensional normal distribution.

Density, cumulative distribution, the central 80 % factor, moments after truncation
(Johnson, Kotz, Balakrishnan, Continuous Univariate Distributions vol. 1, 2nd ed., Wiley
1994, section 13.10.1) and the 15 nodes of the Gauss-Hermite rule. Tests:
``tests/reference/test_normal.py`` against scipy.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

#: Half-width of the central 80 % interval in standard deviations.
CENTRAL_80: Final = 1.2815515655446004
#: And of the central 95 % interval.
CENTRAL_95: Final = 1.959963984540054

_ROOT_TWO = math.sqrt(2.0)
_ROOT_TWO_PI = math.sqrt(2.0 * math.pi)

#: Positive nodes and weights of the 15-point Gauss-Hermite rule for a standard normal
#: (Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, table 25.10, rescaled by
#: sqrt 2 and sqrt pi; checked against numpy.polynomial.hermite_e).
_HALF_RULE: Final = (
    (0.0, 0.3182595182595182),
    (0.7991290683245481, 0.23246229360973228),
    (1.6067100690287301, 0.08941779539984440),
    (2.4324368270097580, 0.017365774492137602),
    (3.2890824243987664, 0.001567357503549960),
    (4.1962077112690155, 5.642146405189028e-05),
    (5.1900935913047815, 5.975419597920606e-07),
    (6.3639478888298390, 8.589649899633193e-10),
)

#: ``(node, weight)`` pairs; weights sum to one.
HERMITE_15: Final = (
    *((-node, weight) for node, weight in reversed(_HALF_RULE[1:])),
    *_HALF_RULE,
)


def density(z: float) -> float:
    """Standard normal density."""
    return math.exp(-0.5 * z * z) / _ROOT_TWO_PI


def cumulative(z: float) -> float:
    """Probability of a standard normal below ``z``."""
    return 0.5 * math.erfc(-z / _ROOT_TWO)


def chance_within(distance: float, *, mean: float, sd: float) -> float:
    """Probability that ``|x| <= distance`` for ``x`` normal with ``mean`` and ``sd``."""
    if sd == 0.0:
        return 1.0 if abs(mean) <= distance else 0.0
    return max(cumulative((distance - mean) / sd) - cumulative((-distance - mean) / sd), 0.0)


def chances_within(distance: float, *, means: Sequence[float], sd: float) -> list[float]:
    """:func:`chance_within` for many means with one SD above zero, the same digits."""
    tail, root = math.erfc, _ROOT_TWO
    return [
        max(0.5 * tail(-((distance - mean) / sd) / root) - 0.5 * tail(-((-distance - mean) / sd) / root), 0.0)
        for mean in means
    ]


def expected_distance(*, mean: float, sd: float) -> float:
    """``E|x|`` (folded normal; Leone, Nelson, Nottingham, Technometrics 1961;3:543-550)."""
    if sd == 0.0:
        return abs(mean)
    z = mean / sd
    return 2.0 * sd * density(z) + mean * (1.0 - 2.0 * cumulative(-z))


def truncated_above_zero(mean: float, sd: float) -> tuple[float, float]:
    """Mean and SD of a normal given that it is above zero.

    Far below zero the ratio of density to tail uses its asymptotic series, so that a
    belief pushed hard against the bound still gives finite numbers.
    """
    start = -mean / sd
    hazard = _hazard(start)
    variance = max(1.0 - hazard * (hazard - start), 1e-12)
    return max(mean + sd * hazard, 0.0), sd * math.sqrt(variance)


def _hazard(start: float) -> float:
    """Density over upper tail at ``start``."""
    if start > 30.0:
        return start + 1.0 / start - 2.0 / start**3
    return density(start) / cumulative(-start)
