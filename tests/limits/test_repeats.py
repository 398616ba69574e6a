"""Readings taken together give what all of them give one by one."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest

from pycore.belief.equations import CONVERGED, Equations, Reading, rows_of
from pycore.belief.eye import EyeModel, predict_reading
from pycore.belief.gaussian import Gaussian
from pycore.belief.priors import (
    DRIFT_SD_D,
    GROSS_SD_D,
    SLIP_SD_MM,
    TRAVEL,
    default_priors,
)
from pycore.belief.readings import after_readings, prior_belief
from pycore.belief.repeats import Merged, merged

EYE = EyeModel(axial_length_mm=23.9, lens_position_mm=5.6, corneal_power_d=43.2, lens_power_d=20.5, entry_mm=2.3)
PRIOR = prior_belief(default_priors(axial_method="optical", lens_power_d=20.5))
# Repeats at one placement, one length at two placements, two lengths at one placement, a named
# end, two instruments, and the latest placement at a length that was there before.
READINGS = (
    Reading(2.5, -1.3, "aberrometer", 0.25, 1), Reading(2.5, -1.1, "aberrometer", 0.30, 1),
    Reading(1.0, -0.2, "aberrometer", 0.25, 2), Reading(1.0, 0.1, "retinoscope", 0.45, 2),
    Reading(2.5, -1.6, "aberrometer", 0.25, 3),
    Reading(1.7, -0.9, "aberrometer", 0.25, 4), Reading(1.9, -1.0, "aberrometer", 0.25, 4),
    Reading(1.0, -0.4, "aberrometer", 0.25, 5, 0.4), Reading(1.0, 2.4, "aberrometer", 0.25, 6),
    Reading(2.5, -1.2, "aberrometer", 0.25, 7), Reading(2.5, -1.3, "aberrometer", 0.25, 7),
)


def _noise(gross: frozenset[int], slopes: list[float], travel_ratio: float) -> np.ndarray:
    """The covariance of all readings, entry by entry as the model says it."""
    size, latest = len(READINGS), READINGS[-1].placement
    matrix = np.zeros((size, size))
    for i, j in ((i, j) for i in range(size) for j in range(size)):
        one, other = READINGS[i], READINGS[j]
        if i == j:
            matrix[i, i] += one.noise_sd_d**2 + (GROSS_SD_D**2 if i in gross else 0.0)
        if one.placement == other.placement:
            old = one.placement != latest
            optic = old * SLIP_SD_MM**2 + travel_ratio**2 * one.length_sd_mm * other.length_sd_mm
            matrix[i, j] += slopes[i] * slopes[j] * optic + old * DRIFT_SD_D**2
    return matrix


def _one_by_one(gross: frozenset[int], start: tuple[float, ...]) -> tuple[np.ndarray, np.ndarray, float]:
    """Mean, covariance and log density with every reading an equation of its own."""
    at, cov, latest = np.array(start), np.array(PRIOR.covariance), READINGS[-1].placement
    while True:
        parts = [predict_reading(EYE, tuple(at), outside_mm=one.outside_mm, instrument=one.instrument,
                                 latest=one.placement == latest) for one in READINGS]
        rows = np.array([part.gradient for part in parts])
        whole = rows @ cov @ rows.T + _noise(gross, [part.per_position for part in parts], at[TRAVEL])
        surprise = np.array([one.refraction_d - part.value_d for one, part in zip(READINGS, parts, strict=True)])
        surprise -= rows @ (np.array(PRIOR.mean) - at)
        gain = np.linalg.solve(whole, rows @ cov).T
        new = np.array(PRIOR.mean) + gain @ surprise
        if np.abs(new - at).max() < CONVERGED:
            break
        at = new
    density = -0.5 * (surprise @ np.linalg.solve(whole, surprise) + np.linalg.slogdet(whole)[1]
                      + len(READINGS) * math.log(2 * math.pi))
    return new, cov - gain @ rows @ cov, density


@pytest.mark.parametrize("gross", [(), (8,), (3,), (0, 8), (7, 8), (9, 10)])
def test_taken_together_is_one_by_one(gross: tuple[int, ...]) -> None:
    mean, covariance, density = _one_by_one(frozenset(gross), PRIOR.mean)
    found = Equations(EYE, PRIOR, READINGS).solve(frozenset(gross), PRIOR.mean)
    assert np.abs(np.array(found.belief.mean) - mean).max() < 1e-12
    assert np.abs(np.array(found.belief.covariance) - covariance).max() < 1e-12
    assert found.log_density == pytest.approx(density, abs=1e-11)


def test_gross_chances_are_those_of_all_hypotheses_one_by_one() -> None:
    start = PRIOR.mean
    logs = {}
    for size in range(3):
        for gross in map(frozenset, combinations(range(len(READINGS)), size)):
            mean, _, density = _one_by_one(gross, start)
            if not gross:
                start = tuple(mean)
            logs[gross] = density + size * math.log(0.03) + (len(READINGS) - size) * math.log(0.97)
    top = max(logs.values())
    weights = {gross: math.exp(value - top) for gross, value in logs.items()}
    total = sum(weights.values())
    expected = [sum(w for gross, w in weights.items() if index in gross) / total for index in range(len(READINGS))]
    assert after_readings(EYE, PRIOR, READINGS).gross == pytest.approx(expected, abs=1e-11)
    assert expected[8] > 0.9, "the wild reading must be found"


def test_one_equation_for_each_length_of_older_placements() -> None:
    again = [Reading(1.0 + 0.25 * (index % 4), -0.5, "aberrometer", 0.25, index) for index in range(40)]
    assert len(rows_of(again, latest=39)) == 5
    assert len(rows_of(READINGS, latest=7)) == 7


@pytest.mark.parametrize("count", [1, 2, 5])
def test_merging_loses_no_density(count: int) -> None:
    values, variances, centre = [0.3 * i - 0.4 for i in range(count)], [0.1 + 0.05 * i for i in range(count)], 0.17
    whole = merged([Merged(*pair) for pair in zip(values, variances, strict=True)])

    def log_normal(value: float, variance: float) -> float:
        return -0.5 * ((value - centre) ** 2 / variance + math.log(2 * math.pi * variance))

    apart = sum(log_normal(*pair) for pair in zip(values, variances, strict=True))
    assert log_normal(whole.value, whole.variance) + whole.log_rest == pytest.approx(apart, abs=1e-13)


def test_nothing_known_beforehand_is_lost() -> None:
    """A prior with links between unknowns takes the general way."""
    linked = [list(row) for row in PRIOR.covariance]
    linked[2][5] = linked[5][2] = 0.02
    found = Equations(EYE, Gaussian(PRIOR.mean, tuple(map(tuple, linked))), READINGS).solve(frozenset(), PRIOR.mean)
    assert found.belief.mean[5] != PRIOR.mean[5]
