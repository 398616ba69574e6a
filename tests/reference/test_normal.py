"""The one-dimensional normal distribution against scipy and numpy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.polynomial.hermite_e import hermegauss
from scipy import stats

from pycore.belief.normal import (
    CENTRAL_80,
    HERMITE_15,
    chance_within,
    cumulative,
    density,
    expected_distance,
    truncated_above_zero,
)

ZS = (-12.0, -6.0, -3.0, -1.2815515655, -0.5, 0.0, 1e-9, 0.7, 2.0, 5.0, 8.0)
NORMALS = ((0.0, 1.0), (0.3, 0.4), (-1.2, 0.25), (4.0, 0.1), (-0.02, 2.5))


@pytest.mark.parametrize("z", ZS)
def test_density_and_cumulative(z: float) -> None:
    assert density(z) == pytest.approx(stats.norm.pdf(z), rel=1e-12)
    assert cumulative(z) == pytest.approx(stats.norm.cdf(z), rel=1e-12)


def test_half_width_of_the_central_eighty_percent() -> None:
    assert pytest.approx(stats.norm.ppf(0.9), abs=1e-15) == CENTRAL_80


@pytest.mark.parametrize(("mean", "sd"), NORMALS)
@pytest.mark.parametrize("distance", [0.25, 0.5, 1.0, 3.0])
def test_chance_within(mean: float, sd: float, distance: float) -> None:
    expected = stats.norm.cdf(distance, mean, sd) - stats.norm.cdf(-distance, mean, sd)
    assert chance_within(distance, mean=mean, sd=sd) == pytest.approx(expected, abs=1e-14)


@pytest.mark.parametrize(("mean", "sd"), NORMALS)
def test_expected_distance(mean: float, sd: float) -> None:
    expected = stats.foldnorm.mean(abs(mean) / sd, scale=sd)
    assert expected_distance(mean=mean, sd=sd) == pytest.approx(expected, rel=1e-10)


def test_a_certain_value() -> None:
    assert chance_within(0.5, mean=0.5, sd=0.0) == 1.0
    assert chance_within(0.5, mean=-0.51, sd=0.0) == 0.0
    assert expected_distance(mean=-0.3, sd=0.0) == 0.3


@pytest.mark.parametrize("start", [-40.0, -8.0, -2.5, -0.3, 0.0, 1.0, 4.0, 9.0, 20.0, 29.9])
@pytest.mark.parametrize("sd", [0.01, 0.08, 1.0])
def test_moments_above_zero(start: float, sd: float) -> None:
    """``start`` is the bound in SDs above the mean; scipy's own precision limits the far tail."""
    mean, spread = truncated_above_zero(-start * sd, sd)
    expected = stats.truncnorm(start, math.inf, loc=-start * sd, scale=sd)
    assert mean == pytest.approx(expected.mean(), rel=1e-6, abs=1e-9 * sd)
    assert spread == pytest.approx(expected.std(), rel=1e-3)


@pytest.mark.parametrize("start", [25.0, 30.0, 35.0, 80.0, 1000.0])
def test_moments_far_in_the_tail_by_integration(start: float) -> None:
    """Beyond scipy: the density above the bound is ``exp(-start t - t^2 / 2)``."""
    t = np.linspace(0.0, 40.0 / start, 400_001)
    weights = np.exp(-start * t - t * t / 2)
    centre = np.sum(weights * t) / np.sum(weights)
    mean, spread = truncated_above_zero(-start, 1.0)
    assert mean == pytest.approx(centre, rel=1e-2)
    assert spread == pytest.approx(math.sqrt(np.sum(weights * (t - centre) ** 2) / np.sum(weights)), rel=1e-2)


def test_the_series_takes_over_without_a_step() -> None:
    below, above = truncated_above_zero(-29.9999, 1.0), truncated_above_zero(-30.0001, 1.0)
    assert below[0] == pytest.approx(above[0], rel=1e-3)
    assert below[1] == pytest.approx(above[1], rel=1e-2)


def test_gauss_hermite_rule() -> None:
    nodes, weights = hermegauss(15)
    assert [node for node, _ in HERMITE_15] == pytest.approx(nodes.tolist(), abs=1e-13)
    expected = (weights / weights.sum()).tolist()
    assert [weight for _, weight in HERMITE_15] == pytest.approx(expected, rel=1e-9)
    assert math.fsum(weight for _, weight in HERMITE_15) == pytest.approx(1.0, abs=1e-14)


@pytest.mark.parametrize(
    ("power", "moment"), [(0, 1), (2, 1), (4, 3), (6, 15), (8, 105), (28, 213458046676875)]
)
def test_gauss_hermite_moments(power: int, moment: int) -> None:
    """Exact up to degree 29: the even moments are double factorials."""
    total = math.fsum(weight * node**power for node, weight in HERMITE_15)
    assert total == pytest.approx(moment, rel=1e-12)
