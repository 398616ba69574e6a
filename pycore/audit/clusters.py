"""Intervals that do not count both eyes of one person as two independent eyes.

Eyes come with the name of their person. With ``m`` persons, ``n`` eyes and ``u_c`` the sum over
one person's eyes of ``(x - mean)``::

    var(mean) = m/(m - 1) * sum(u_c^2) / n^2          interval: mean -/+ t(m - 1) sqrt(var)
    deff      = var(share) / (p (1 - p) / n), not below 1
    share     : Wilson's interval at n / deff eyes

With one eye a person the first is ``s^2 / n``, and the second is Wilson's own interval. At a
share of 0 or 1 ``deff`` cannot be estimated and is the mean number of eyes a person, as if both
eyes always agreed. Two spreads of the same eyes are compared by their ratio; with errors ``a``,
``b`` about their means and ``w = a^2/S_a^2 - b^2/S_b^2``, ``log(S_a/S_b)`` has the standard error
of the mean of ``w/2``.

Sources: the linearised variance of a ratio estimator and the effective sample size for Wilson's
interval, Korn EL, Graubard BI, Surv Methodol 1998;24:193-201 (value from memory); spreads of
dependent samples compared without assuming equal ones, after Holladay JT, Wilcox RR, Koch DD,
Wang L, J Cataract Refract Surg 2021;47:65-77 (idea; the form here is the delta method). Below two
persons there is no interval. Checked by ``tests/reference/test_series_reference.py``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from pycore.audit.intervals import Proportion, wilson_score
from pycore.audit.statistics import ROUNDING_D, mean
from pycore.audit.student import t_central
from pycore.errors import Inconsistent


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its 95 % interval; both ends are ``None`` where there is none."""

    value: float
    low95: float | None
    high95: float | None


def persons_of(persons: Sequence[str]) -> int:
    """How many persons the eyes belong to."""
    return _places(tuple(persons))[1]


@lru_cache(maxsize=8)
def _places(persons: tuple[str, ...]) -> tuple[tuple[int, ...], int]:
    """A number for each eye's person, and how many persons there are."""
    found: dict[str, int] = {}
    places = tuple(found.setdefault(person, len(found)) for person in persons)
    return places, len(found)


def mean_estimate(values: Sequence[float], persons: Sequence[str]) -> Estimate:
    """The mean with its interval; needs at least one value.

    Values without any difference have no interval: a spread of nothing is what few eyes show.
    """
    centre = mean(values)
    error = standard_error(values, persons)
    if not error:
        return Estimate(centre, None, None)
    half = t_central(persons_of(persons) - 1) * error
    return Estimate(centre, centre - half, centre + half)


def standard_error(values: Sequence[float], persons: Sequence[str]) -> float | None:
    """Standard error of the mean over persons; ``None`` below two persons."""
    if len(values) != len(persons):
        raise Inconsistent("Every eye needs its person.", field="rows")
    centre, count = mean(values), len(values)
    places, clusters = _places(tuple(persons))
    if clusters < 2:
        return None
    apart = [value - centre for value in values]
    if clusters < count:
        sums = [0.0] * clusters
        for place, value in zip(places, apart, strict=True):
            sums[place] += value
        apart = sums
    squares = math.fsum([value * value for value in apart])
    return math.sqrt(clusters / (clusters - 1) * squares) / count


def paired_difference(
    first: Sequence[float], second: Sequence[float], persons: Sequence[str]
) -> Estimate:
    """Mean of ``first - second`` on the same eyes, with its interval."""
    return mean_estimate([a - b for a, b in zip(first, second, strict=True)], persons)


def share_estimate(
    errors_d: Sequence[float], limit_d: float, persons: Sequence[str]
) -> Proportion:
    """Share of errors of at most ``limit_d`` either way; the limit itself is within."""
    inside = [1.0 if abs(error) <= limit_d + ROUNDING_D else 0.0 for error in errors_d]
    count = round(math.fsum(inside))
    share, low, high = wilson_score(count / len(inside), _effective(inside, persons))
    return Proportion(fraction=share, low95=low, high95=high, count=count)


def _effective(inside: Sequence[float], persons: Sequence[str]) -> float:
    """The number of independent eyes that would say as much."""
    count, clusters = len(inside), persons_of(persons)
    if clusters == count:
        return float(count)
    share = mean(inside)
    alone = share * (1.0 - share) / count
    error = standard_error(inside, persons)
    if alone <= 0.0 or error is None:
        return float(clusters)
    return count / max(error * error / alone, 1.0)


def sd_ratio(
    first: Sequence[float], second: Sequence[float], persons: Sequence[str]
) -> Estimate | None:
    """``SD(first) / SD(second)`` on the same eyes; ``None`` when either has no spread."""
    a, b = _about_mean(first), _about_mean(second)
    square_a, square_b = mean([x * x for x in a]), mean([x * x for x in b])
    if square_a <= 0.0 or square_b <= 0.0:
        return None
    error = standard_error(
        [(x * x / square_a - y * y / square_b) / 2.0 for x, y in zip(a, b, strict=True)], persons
    )
    ratio = math.sqrt(square_a / square_b)
    if error is None:
        return Estimate(ratio, None, None)
    factor = math.exp(t_central(persons_of(persons) - 1) * error)
    return Estimate(ratio, ratio / factor, ratio * factor)


def _about_mean(values: Sequence[float]) -> list[float]:
    centre = mean(values)
    return [value - centre for value in values]
