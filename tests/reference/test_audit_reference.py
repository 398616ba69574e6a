"""Audit statistics against scipy and numpy, general-purpose libraries."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy import stats

from pycore.audit.intervals import wilson
from pycore.audit.statistics import WITHIN_LIMITS_D, share_within, summarise


def _series(seed: int) -> list[float]:
    source = random.Random(seed)
    return [source.gauss(source.uniform(-0.3, 0.3), 0.6) for _ in range(source.randint(2, 400))]


@pytest.mark.parametrize("seed", range(40))
def test_point_statistics(seed: int) -> None:
    errors = _series(seed)
    ours, array = summarise(errors), np.array(errors)
    assert ours.n == array.size
    assert ours.mean_d == pytest.approx(float(array.mean()), abs=1e-12)
    assert ours.sd_d == pytest.approx(float(stats.tstd(array)), rel=1e-12)
    assert ours.mae_d == pytest.approx(float(np.abs(array).mean()), rel=1e-12)
    assert ours.medae_d == pytest.approx(float(np.median(np.abs(array))), rel=1e-12)
    assert ours.rmse_d == pytest.approx(float(np.sqrt((array**2).mean())), rel=1e-12)


@pytest.mark.parametrize("seed", range(40))
def test_shares(seed: int) -> None:
    errors = _series(seed)
    for limit in WITHIN_LIMITS_D.values():
        inside = int((np.abs(np.array(errors)) <= limit).sum())
        assert share_within(errors, limit).count == inside


@pytest.mark.parametrize("n", [1, 2, 3, 10, 29, 30, 77, 500])
def test_interval_of_a_proportion(n: int) -> None:
    for count in range(n + 1):
        theirs = stats.binomtest(count, n).proportion_ci(confidence_level=0.95, method="wilson")
        ours = wilson(count, n)
        assert ours.low95 == pytest.approx(float(theirs.low), abs=1e-12)
        assert ours.high95 == pytest.approx(float(theirs.high), abs=1e-12)
        assert ours.fraction == count / n
