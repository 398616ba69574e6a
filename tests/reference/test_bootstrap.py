"""Bootstrap intervals: against scipy's, against the textbook, and the same on every run."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from pycore.audit import bootstrap

PERSONS = [str(index) for index in range(80)]
ERRORS = list(np.random.default_rng(11).normal(-0.1, 0.5, 80))


@pytest.mark.parametrize(("name", "figure"), [
    ("mean_d", lambda x, axis: np.mean(x, axis=axis)),
    ("sd_d", lambda x, axis: np.std(x, axis=axis, ddof=1)),
    ("mae_d", lambda x, axis: np.mean(np.abs(x), axis=axis)),
    ("medae_d", lambda x, axis: np.median(np.abs(x), axis=axis)),
    ("rmse_d", lambda x, axis: np.sqrt(np.mean(x * x, axis=axis))),
])
def test_as_scipy_draws_it(name: str, figure: object) -> None:
    """Two random percentile intervals of one figure: ends agree within the noise of 2000 draws."""
    ours = bootstrap.intervals(ERRORS, PERSONS)[name]
    theirs = stats.bootstrap((np.array(ERRORS),), figure, n_resamples=9999, method="percentile", axis=-1,
                             rng=np.random.default_rng(5)).confidence_interval
    assert ours is not None
    width = theirs.high - theirs.low
    # an end of 2000 draws has an SE of about 3 % of the width (density of a normal at 2.5 %)
    assert ours == pytest.approx((theirs.low, theirs.high), abs=0.12 * width)


def test_the_same_eyes_give_the_same_interval() -> None:
    first = bootstrap.intervals(ERRORS, PERSONS)
    assert bootstrap.intervals(ERRORS, PERSONS) == first
    assert bootstrap.intervals(ERRORS, PERSONS, seed=2) != first


def test_both_eyes_of_a_person_are_drawn_together() -> None:
    """Every eye twice under one person's name: nothing is learned, so nothing becomes narrower."""
    once = bootstrap.intervals(ERRORS, PERSONS)
    twice = bootstrap.intervals(ERRORS * 2, PERSONS * 2)
    for name in ("mean_d", "mae_d", "medae_d", "rmse_d"):
        assert twice[name] == pytest.approx(once[name], rel=1e-9), name
    apart = bootstrap.intervals(ERRORS * 2, [str(index) for index in range(160)])
    assert apart["mean_d"] is not None and once["mean_d"] is not None
    assert apart["mean_d"][1] - apart["mean_d"][0] < 0.85 * (once["mean_d"][1] - once["mean_d"][0])


def test_weighted_medians_are_medians_of_the_repeated_values() -> None:
    source = np.random.default_rng(2)
    for count in (1, 2, 3, 8, 9):
        sizes = source.integers(0, 5, count).astype(float)
        weights = source.integers(0, 4, (50, count)).astype(float)
        weights = weights[weights.sum(axis=1) > 0]
        expected = [np.median(np.repeat(sizes, row.astype(int))) for row in weights]
        assert list(bootstrap._medians(weights, sizes)) == expected


def test_the_difference_of_medians_is_drawn_on_the_same_eyes() -> None:
    """A series against itself shifted outward by 0.1 D differs by exactly that in every draw."""
    sizes = [abs(one) for one in ERRORS]
    further = [size + 0.1 for size in sizes]
    assert bootstrap.median_difference(further, sizes, PERSONS) == pytest.approx((0.1, 0.1), abs=1e-12)


def test_fewer_than_ten_persons_have_no_interval() -> None:
    for count, known in ((1, False), (9, False), (10, True)):
        found = bootstrap.intervals(ERRORS[:20], [str(index % count) for index in range(20)])
        assert all((interval is not None) == known for interval in found.values())
    assert bootstrap.median_difference([0.1], [0.2], ["a"]) is None


def test_long_series_are_drawn_less_often() -> None:
    assert bootstrap.draws_for(0) == bootstrap.draws_for(1000) == bootstrap.DRAWS
    assert bootstrap.draws_for(10_000) == bootstrap.LEAST_DRAWS
