"""Published and certified values for the audit's statistics."""

from __future__ import annotations

import pytest

from pycore.audit.intervals import wilson
from pycore.audit.scatter import regression
from pycore.audit.statistics import mean, standard_deviation

#: Newcombe RG, Stat Med 1998;17:857-872, table I, method 3 (score without continuity correction);
#: value from memory.
NEWCOMBE = [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]

#: NIST Statistical Reference Datasets, linear regression "Norris": y, x; value from memory, and
#: confirmed by the certified results below, which these 36 pairs alone can give.
NORRIS = [
    (0.1, 0.2), (338.8, 337.4), (118.1, 118.2), (888.0, 884.6), (9.2, 10.1), (228.1, 226.5), (668.5, 666.3),
    (998.5, 996.3), (449.1, 448.6), (778.9, 777.0), (559.2, 558.2), (0.3, 0.4), (0.1, 0.6), (778.1, 775.5),
    (668.8, 666.9), (339.3, 338.0), (448.9, 447.5), (10.8, 11.6), (557.7, 556.0), (228.3, 228.1), (998.0, 995.8),
    (888.8, 887.6), (119.6, 120.2), (0.3, 0.3), (0.6, 0.3), (557.6, 556.8), (339.3, 339.1), (888.0, 887.2),
    (998.5, 999.0), (778.9, 779.0), (10.2, 11.1), (117.6, 118.3), (228.9, 229.2), (668.4, 669.1), (449.2, 448.9),
    (0.2, 0.5),
]
NORRIS_CERTIFIED = (-0.262323073774029, 1.00211681802045, 0.999993745883712)


@pytest.mark.parametrize(("count", "n", "low", "high"), NEWCOMBE)
def test_wilson_as_newcombe_prints_it(count: int, n: int, low: float, high: float) -> None:
    found = wilson(count, n)
    assert (round(found.low95, 4), round(found.high95, 4)) == (low, high)


def test_nist_linear_regression() -> None:
    line = regression([x for _, x in NORRIS], [y for y, _ in NORRIS])
    assert line is not None
    intercept, slope, r_squared = NORRIS_CERTIFIED
    assert line.intercept_d == pytest.approx(intercept, rel=1e-10)
    assert line.slope == pytest.approx(slope, rel=1e-13)
    assert line.r_squared == pytest.approx(r_squared, rel=1e-13)


@pytest.mark.parametrize(("first", "pair", "certified_mean", "certified_sd", "digits"), [
    (1.2, (1.1, 1.3), 1.2, 0.1, 1e-12),
    (1000000.2, (1000000.1, 1000000.3), 1000000.2, 0.1, 1e-8),
    (10000000.2, (10000000.1, 10000000.3), 10000000.2, 0.1, 1e-7),
])
def test_nist_numerical_accuracy(
    first: float, pair: tuple[float, float], certified_mean: float, certified_sd: float, digits: float
) -> None:
    """NIST Statistical Reference Datasets NumAcc2, 3 and 4: 1001 values whose SD is lost in cancellation by
    a careless sum. The data themselves are not exact in binary, hence the digits."""
    values = [first, *pair * 500]
    assert mean(values) == pytest.approx(certified_mean, rel=1e-15)
    assert standard_deviation(values) == pytest.approx(certified_sd, rel=digits)
