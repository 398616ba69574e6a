"""Observing, merging and truncating a joint Gaussian against direct numpy solutions."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from pycore.belief.gaussian import Gaussian, Linearised, keep_positive, merge, observe
from pycore.belief.linear import cholesky, diagonal, dot, forward_solve, log_determinant, times


def random_covariance(rng: np.random.Generator, size: int) -> np.ndarray:
    root = rng.standard_normal((size, size + 3))
    return root @ root.T / size + 0.05 * np.eye(size)


def gaussian(mean: np.ndarray, covariance: np.ndarray) -> Gaussian:
    return Gaussian(tuple(mean.tolist()), tuple(tuple(row) for row in covariance.tolist()))


def problem(seed: int, size: int, count: int) -> tuple[Gaussian, list[float], Linearised]:
    rng = np.random.default_rng(seed)
    prior = gaussian(rng.standard_normal(size), random_covariance(rng, size))
    noise = random_covariance(rng, count)
    model = Linearised(
        at=tuple(rng.standard_normal(size).tolist()),
        value=tuple(rng.standard_normal(count).tolist()),
        rows=tuple(tuple(row) for row in rng.standard_normal((count, size)).tolist()),
        noise=tuple(tuple(row) for row in noise.tolist()),
    )
    return prior, rng.standard_normal(count).tolist(), model


CASES = [(seed, size, count) for seed in range(4) for size, count in ((1, 1), (3, 5), (12, 4), (13, 9))]


@pytest.mark.parametrize(("seed", "size", "count"), CASES)
def test_observe_agrees_with_the_information_form(seed: int, size: int, count: int) -> None:
    """Precisions add: solved with numpy's inverse, a different route to the same answer."""
    prior, observed, model = problem(seed, size, count)
    found = observe(prior, observed, model).belief
    rows, weight = np.array(model.rows), np.linalg.inv(np.array(model.noise))
    precision = np.linalg.inv(np.array(prior.covariance))
    total = precision + rows.T @ weight @ rows
    shifted = np.array(observed) - np.array(model.value) + rows @ np.array(model.at)
    mean = np.linalg.solve(total, precision @ np.array(prior.mean) + rows.T @ weight @ shifted)
    assert np.allclose(found.mean, mean, atol=1e-9)
    assert np.allclose(found.covariance, np.linalg.inv(total), atol=1e-9)


@pytest.mark.parametrize(("seed", "size", "count"), CASES)
def test_observe_gives_the_density_of_what_was_observed(seed: int, size: int, count: int) -> None:
    prior, observed, model = problem(seed, size, count)
    rows = np.array(model.rows)
    spread = rows @ np.array(prior.covariance) @ rows.T + np.array(model.noise)
    away = np.array(observed) - np.array(model.value) - rows @ (np.array(prior.mean) - np.array(model.at))
    expected = -0.5 * (
        away @ np.linalg.solve(spread, away) + np.linalg.slogdet(spread)[1] + count * math.log(2 * math.pi)
    )
    assert observe(prior, observed, model).log_density == pytest.approx(expected, rel=1e-10)


def test_the_order_of_observations_does_not_matter() -> None:
    prior, observed, model = problem(7, 6, 5)
    order = [3, 0, 4, 2, 1]
    turned = Linearised(
        at=model.at,
        value=tuple(model.value[i] for i in order),
        rows=tuple(model.rows[i] for i in order),
        noise=tuple(tuple(model.noise[i][j] for j in order) for i in order),
    )
    first = observe(prior, observed, model)
    second = observe(prior, [observed[i] for i in order], turned)
    assert first.belief.mean == pytest.approx(second.belief.mean, abs=1e-12)
    assert np.allclose(first.belief.covariance, second.belief.covariance, atol=1e-12)
    assert first.log_density == pytest.approx(second.log_density, abs=1e-11)


def test_one_by_one_equals_all_at_once_when_noise_is_independent() -> None:
    prior, observed, model = problem(8, 5, 3)
    noise = diagonal([0.3, 0.7, 0.2])
    together = observe(prior, observed, Linearised(model.at, model.value, model.rows, noise))
    belief, density = prior, 0.0
    for i, y in enumerate(observed):
        one = observe(belief, [y], Linearised(model.at, model.value[i : i + 1], model.rows[i : i + 1],
                                              ((noise[i][i],),)))
        belief, density = one.belief, density + one.log_density
    assert belief.mean == pytest.approx(together.belief.mean, abs=1e-12)
    assert np.allclose(belief.covariance, together.belief.covariance, atol=1e-12)
    assert density == pytest.approx(together.log_density, abs=1e-11)


@pytest.mark.parametrize("noise_variance", [1e6, 1e9])
def test_huge_noise_leaves_the_prior(noise_variance: float) -> None:
    prior, observed, model = problem(9, 4, 2)
    found = observe(prior, observed,
                    Linearised(model.at, model.value, model.rows, diagonal([noise_variance] * 2)))
    assert found.belief.mean == pytest.approx(prior.mean, abs=100 / noise_variance)
    assert np.allclose(found.belief.covariance, prior.covariance, atol=100 / noise_variance)


def test_no_noise_reproduces_what_was_observed() -> None:
    prior, observed, model = problem(10, 4, 2)
    found = observe(prior, observed, Linearised(model.at, model.value, model.rows, diagonal([1e-12] * 2)))
    for y, value, row in zip(observed, model.value, model.rows, strict=True):
        moved = [x - at for x, at in zip(found.belief.mean, model.at, strict=True)]
        assert value + dot(row, moved) == pytest.approx(y, abs=1e-9)
        assert found.belief.variance_along(row) == pytest.approx(0.0, abs=1e-9)


def test_observing_never_widens_any_direction() -> None:
    prior, observed, model = problem(11, 6, 3)
    found = observe(prior, observed, model).belief
    shrunk = np.array(prior.covariance) - np.array(found.covariance)
    assert np.linalg.eigvalsh((shrunk + shrunk.T) / 2).min() > -1e-12


def test_merge_has_the_moments_of_the_mixture() -> None:
    """Against numpy's sample moments of draws from the mixture, and exact at one part."""
    rng = np.random.default_rng(3)
    parts = [(w, gaussian(rng.standard_normal(3), random_covariance(rng, 3))) for w in (0.2, 0.5, 0.3)]
    found = merge(parts)
    draws = np.concatenate([
        rng.multivariate_normal(part.mean, part.covariance, size=int(400_000 * w)) for w, part in parts
    ])
    assert np.allclose(found.mean, draws.mean(axis=0), atol=0.01)
    assert np.allclose(found.covariance, np.cov(draws.T), atol=0.03)
    alone = merge([(1.0, parts[0][1])])
    assert alone == parts[0][1]


def test_a_part_without_weight_leaves_no_trace() -> None:
    rng = np.random.default_rng(4)
    kept = gaussian(rng.standard_normal(2), random_covariance(rng, 2))
    absurd = Gaussian((1e6, -1e6), ((1e12, 0.0), (0.0, 1e12)))
    assert merge([(1.0, kept), (0.0, absurd)]) == kept


@pytest.mark.parametrize("mean", [-0.1, 0.0, 0.05, 0.2, 1.0])
def test_keep_positive_has_the_moments_of_the_kept_draws(mean: float) -> None:
    rng = np.random.default_rng(5)
    covariance = np.array([[0.04, 0.012, -0.006], [0.012, 0.09, 0.01], [-0.006, 0.01, 0.05]])
    belief = gaussian(np.array([mean, 0.3, -0.2]), covariance)
    draws = rng.multivariate_normal(belief.mean, covariance, size=600_000)
    kept = draws[draws[:, 0] > 0]
    found = keep_positive(belief, 0)
    assert np.allclose(found.mean, kept.mean(axis=0), atol=0.003)
    assert np.allclose(found.covariance, np.cov(kept.T), atol=0.003)


def test_keep_positive_leaves_what_is_certain_or_far_above_zero() -> None:
    certain = Gaussian((0.2, 1.0), ((0.0, 0.0), (0.0, 1.0)))
    assert keep_positive(certain, 0) == certain
    far = keep_positive(Gaussian((5.0, 1.0), ((0.01, 0.002), (0.002, 1.0))), 0)
    assert far.mean == pytest.approx((5.0, 1.0), abs=1e-12)
    assert far.covariance[0][0] == pytest.approx(0.01, abs=1e-12)


def as_rows(matrix: np.ndarray) -> Sequence[Sequence[float]]:
    return [list(map(float, row)) for row in matrix]


def test_linear_algebra_against_numpy() -> None:
    rng = np.random.default_rng(6)
    matrix, vector = random_covariance(rng, 9), rng.standard_normal(9)
    lower = cholesky(as_rows(matrix))
    full = np.zeros((9, 9))
    for i, row in enumerate(lower):
        full[i, : len(row)] = row
    assert np.allclose(full, np.linalg.cholesky(matrix), atol=1e-12)
    assert np.allclose(times(as_rows(matrix), vector.tolist()), matrix @ vector, atol=1e-12)
    assert np.allclose(forward_solve(lower, vector.tolist()), np.linalg.solve(full, vector), atol=1e-10)
    assert log_determinant(lower) == pytest.approx(np.linalg.slogdet(matrix)[1], abs=1e-10)


def test_a_matrix_that_is_no_covariance_is_refused() -> None:
    with pytest.raises(ValueError, match=r"math domain error|nonnegative"):
        cholesky([[1.0, 2.0], [2.0, 1.0]])
