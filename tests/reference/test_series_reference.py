"""Intervals, comparisons, constants and ellipses against scipy and numpy."""

from __future__ import annotations

import random
from typing import Any

import numpy as np
import pytest
from scipy import optimize, stats

from pycore.audit import clusters
from pycore.audit.constants import FormulaEye, zero_mean
from pycore.audit.double_angle import double_angle, place
from pycore.audit.intervals import wilson
from pycore.audit.scatter import regression
from pycore.audit.student import f_two, t_central
from pycore.optics.vergence import refraction_d


@pytest.mark.parametrize("degrees", [1, 2, 3, 5, 9, 29, 100, 399, 9999, 1_000_000])
@pytest.mark.parametrize("coverage", [0.5, 0.8, 0.95, 0.999])
def test_quantiles(degrees: int, coverage: float) -> None:
    assert t_central(degrees, coverage) == pytest.approx(stats.t.ppf(0.5 + coverage / 2, degrees), rel=1e-8)
    assert f_two(degrees, coverage) == pytest.approx(stats.f.ppf(coverage, 2, degrees), rel=1e-10)


def _eyes(seed: int, count: int = 60) -> tuple[np.ndarray, list[str]]:
    source = np.random.default_rng(seed)
    persons = [f"P{index // 2 if index < 30 else index}" for index in range(count)]
    shared = {person: source.normal(0, 0.4) for person in persons}
    return np.array([shared[one] + source.normal(-0.1, 0.4) for one in persons]), persons


@pytest.mark.parametrize("seed", range(5))
def test_one_eye_a_person_is_the_ordinary_t_interval(seed: int) -> None:
    values = np.random.default_rng(seed).normal(0.1, 0.5, 25)
    found = clusters.mean_estimate(list(values), [str(index) for index in range(25)])
    low, high = stats.t.interval(0.95, 24, values.mean(), stats.sem(values))
    assert (found.low95, found.high95) == pytest.approx((low, high), rel=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_two_eyes_of_a_person_by_matrices(seed: int) -> None:
    """The sandwich of a regression on a constant, written with matrices and the usual m/(m - 1)."""
    values, persons = _eyes(seed)
    names = sorted(set(persons))
    member = np.array([[one == name for name in names] for one in persons], dtype=float)
    ones = np.ones((len(values), 1))
    residual = values - values.mean()
    meat = sum(float((ones[:, 0] * column * residual).sum()) ** 2 for column in member.T)
    bread = np.linalg.inv(ones.T @ ones)[0, 0]
    error = np.sqrt(len(names) / (len(names) - 1) * meat) * bread
    assert clusters.standard_error(list(values), persons) == pytest.approx(error, rel=1e-12)


def test_equal_eyes_of_each_person_count_once() -> None:
    values = list(np.random.default_rng(3).normal(0, 0.5, 20))
    single = clusters.mean_estimate(values, [str(index) for index in range(20)])
    double = clusters.mean_estimate(values * 2, [str(index) for index in range(20)] * 2)
    assert (double.low95, double.high95) == pytest.approx((single.low95, single.high95), rel=1e-12)
    share = clusters.share_estimate(values * 2, 0.5, [str(index) for index in range(20)] * 2)
    once = wilson(sum(abs(one) <= 0.5 for one in values), 20)
    # the sandwich divides by m - 1, so the effective number is 19 of 20 persons
    assert share.low95 == pytest.approx(once.low95, abs=0.01)
    assert share.low95 <= once.low95
    assert share.high95 >= once.high95


def test_independent_eyes_have_the_very_wilson_interval() -> None:
    errors = [0.1, -0.4, 0.5, 0.51, -2.0]
    found = clusters.share_estimate(errors, 0.5, list("abcde"))
    assert found == wilson(3, 5)


def test_the_interval_of_the_mean_covers_when_eyes_go_in_pairs() -> None:
    """300 invented series of 15 pairs and 30 single eyes: the truth is inside in about 95 of a hundred."""
    inside = 0
    for seed in range(300):
        values, persons = _eyes(seed)
        found = clusters.mean_estimate(list(values), persons)
        assert found.low95 is not None and found.high95 is not None
        inside += found.low95 <= -0.1 <= found.high95
    # binomial(300, 0.95): outside 0.91..0.985 in less than one run of a thousand
    assert 0.91 <= inside / 300 <= 0.985


def test_the_ratio_of_spreads_covers() -> None:
    """Dependent normal errors with SDs 0.5 and 0.4: the interval of the ratio holds 1.25."""
    inside = 0
    for seed in range(300):
        source = np.random.default_rng(seed)
        common = source.normal(0, 0.3, 80)
        first, second = common + source.normal(0, 0.4, 80), common + source.normal(0, np.sqrt(0.07), 80)
        found = clusters.sd_ratio(list(first), list(second), [str(index) for index in range(80)])
        assert found is not None and found.low95 is not None and found.high95 is not None
        inside += found.low95 <= 0.5 / 0.4 <= found.high95
    assert 0.90 <= inside / 300 <= 0.985


@pytest.mark.parametrize("seed", range(5))
def test_regression(seed: int) -> None:
    source = np.random.default_rng(seed)
    x = source.normal(-0.5, 1.0, 30)
    y = 0.9 * x + source.normal(0, 0.4, 30)
    ours, theirs = regression(list(x), list(y)), stats.linregress(x, y)
    assert ours is not None
    assert (ours.slope, ours.intercept_d, ours.r_squared) == pytest.approx(
        (theirs.slope, theirs.intercept, theirs.rvalue**2), rel=1e-10)


def _formula_eyes(seed: int) -> list[FormulaEye]:
    source = random.Random(seed)
    eyes = []
    for _ in range(25):
        eye = {"axial_length_mm": source.uniform(22, 27), "lens_position_mm": source.uniform(4.8, 5.6),
               "corneal_power_d": source.uniform(41, 45), "lens_power_d": source.uniform(12, 26)}
        eyes.append(FormulaEye(**eye, achieved_d=refraction_d(**eye) + source.gauss(0.5, 0.4)))
    return eyes


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("per_constant", [1.0, 0.62467])
def test_the_constant_that_zeroes_the_mean_error(seed: int, per_constant: float) -> None:
    eyes = _formula_eyes(seed)

    def mean_error(shift: float) -> float:
        return float(np.mean([
            eye.achieved_d - refraction_d(
                axial_length_mm=eye.axial_length_mm, corneal_power_d=eye.corneal_power_d,
                lens_power_d=eye.lens_power_d, lens_position_mm=eye.lens_position_mm + per_constant * shift)
            for eye in eyes]))

    found = zero_mean(eyes, [str(index) for index in range(25)], position_per_constant=per_constant)
    assert found is not None
    root = optimize.brentq(mean_error, -3, 3, xtol=1e-12)
    # the mean is zeroed to 1e-4 D, and one dioptre is at least half a unit of the constant
    assert found.shift.value == pytest.approx(root, abs=2e-4)
    assert abs(float(np.mean(found.errors_d))) < 1e-4
    assert found.before_d == pytest.approx(mean_error(0.0), rel=1e-12)


def _cylinders(seed: int, count: int = 40) -> list[tuple[float, float]]:
    source = random.Random(seed)
    return [place(-abs(source.gauss(0, 1)), source.uniform(0, 180)) for _ in range(count)]


@pytest.mark.parametrize("seed", range(5))
def test_both_ellipses_by_eigenvectors(seed: int) -> None:
    places = _cylinders(seed)
    found = double_angle(places, [str(index) for index in range(40)])
    assert found is not None and found.of_centroid is not None and found.of_eyes is not None
    array = np.array(places)
    covariance = np.cov(array.T)
    f = stats.f.ppf(0.95, 2, 38)
    for ellipse, radius in ((found.of_centroid, 2 * 39 / 38 / 40 * f), (found.of_eyes, 2 * 39 / 38 * 41 / 40 * f)):
        values, vectors = np.linalg.eigh(covariance)
        assert (ellipse.short_d, ellipse.long_d) == pytest.approx(tuple(np.sqrt(values * radius)), rel=1e-9)
        along = np.array([np.cos(np.radians(ellipse.turned_deg)), np.sin(np.radians(ellipse.turned_deg))])
        assert abs(float(along @ vectors[:, 1])) == pytest.approx(1.0, abs=1e-9)
        apart = np.array(ellipse.outline) - array.mean(axis=0)
        distances: Any = np.einsum("ij,jk,ik->i", apart, np.linalg.inv(covariance), apart)
        assert distances == pytest.approx(np.full(len(distances), radius), rel=1e-9)


def test_the_centroid_ellipse_covers() -> None:
    """Hotelling's region of 400 invented series of 12 eyes holds the true mean in about 95 of a hundred."""
    inside = 0
    for seed in range(400):
        source = np.random.default_rng(seed)
        array = source.multivariate_normal([0.5, -0.2], [[0.4, 0.1], [0.1, 0.2]], 12)
        found = double_angle([(float(x), float(y)) for x, y in array], [str(index) for index in range(12)])
        assert found is not None and found.of_centroid is not None
        turn = np.radians(found.of_centroid.turned_deg)
        apart = np.array([0.5, -0.2]) - np.array(found.centroid)
        along, across = apart @ [np.cos(turn), np.sin(turn)], apart @ [-np.sin(turn), np.cos(turn)]
        inside += (along / found.of_centroid.long_d) ** 2 + (across / found.of_centroid.short_d) ** 2 <= 1
    # binomial(400, 0.95): outside 0.91..0.98 in about one run of a thousand
    assert 0.91 <= inside / 400 <= 0.98
