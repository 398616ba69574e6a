"""A joint Gaussian over named unknowns: observe, predict, merge, truncate.

All formulas are the textbook ones for a Gaussian with mean ``x`` and covariance ``P``
(Rasmussen & Williams, Gaussian Processes for Machine Learning, MIT Press 2006, appendix
A.2). Tests: ``tests/limits/test_gaussian.py`` (against a direct numpy solution).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pycore.belief.linear import (
    Matrix,
    Vector,
    add,
    backward_solve,
    cholesky,
    dot,
    forward_solve,
    less_outer,
    log_determinant,
    scaled,
    times,
)
from pycore.belief.normal import truncated_above_zero


@dataclass(frozen=True, slots=True)
class Gaussian:
    """Mean vector and covariance matrix."""

    mean: Vector
    covariance: Matrix

    def sd(self, index: int) -> float:
        """Standard deviation of one unknown."""
        return math.sqrt(self.covariance[index][index])

    def variance_along(self, gradient: Sequence[float]) -> float:
        """Variance of the linear form ``gradient . x``."""
        live = [index for index, value in enumerate(gradient) if value]
        part = [gradient[index] for index in live]
        rows = ([self.covariance[i][j] for j in live] for i in live)
        return max(dot(part, [dot(row, part) for row in rows]), 0.0)


@dataclass(frozen=True, slots=True)
class Linearised:
    """Observations near a point: ``y = value + rows (x - at) + noise``."""

    at: Vector
    value: Vector
    rows: Matrix
    noise: Matrix


@dataclass(frozen=True, slots=True)
class Posterior:
    """Belief after observing, with the log density of what was observed."""

    belief: Gaussian
    log_density: float


def observe(prior: Gaussian, observed: Sequence[float], model: Linearised) -> Posterior:
    """Condition ``prior`` on all observations at once.

    ``S = H P H^T + R``; ``x' = x + P H^T S^-1 r``; ``P' = P - P H^T S^-1 H P`` with
    the surprise ``r = y - value - H (x - at)``. Taking all readings together makes the
    answer independent of their order.
    """
    return first_half(prior, observed, model).posterior(prior)


@dataclass(frozen=True, slots=True)
class Moved:
    """The new mean, and what the new covariance and the density are made of.

    Iterating needs only the mean; the rest is worked out once, at the end.
    """

    mean: Vector
    gains: Sequence[Vector]
    surprise: Sequence[float]
    lower: Sequence[Sequence[float]]

    def posterior(self, prior: Gaussian) -> Posterior:
        """Covariance and log density besides the mean; ``prior`` is the one conditioned."""
        density = -0.5 * (
            dot(self.surprise, self.surprise)
            + log_determinant(self.lower)
            + len(self.surprise) * math.log(2 * math.pi)
        )
        whitened = _whiten(self.lower, self.gains)
        return Posterior(Gaussian(self.mean, less_outer(prior.covariance, whitened)), density)


def first_half(prior: Gaussian, observed: Sequence[float], model: Linearised) -> Moved:
    """The mean of :func:`observe`, with the rest left to be worked out."""
    gains = _gains(prior.covariance, model.rows)
    lower = cholesky(_innovation(model, gains))
    surprise = forward_solve(lower, _surprise(prior, observed, model))
    weights = backward_solve(lower, surprise)
    moved = (x + dot(column, weights) for x, column in zip(prior.mean, zip(*gains, strict=True), strict=True))
    return Moved(tuple(moved), gains, surprise, lower)


def _gains(covariance: Matrix, rows: Matrix) -> tuple[Vector, ...]:
    """``P H^T``, one vector for each row of ``H``; before any reading ``P`` is diagonal."""
    if not any(any(row[:i]) for i, row in enumerate(covariance)):
        variances = [row[i] for i, row in enumerate(covariance)]
        return tuple(scaled(variances, row) for row in rows)
    return tuple(times(covariance, row) for row in rows)


def _innovation(model: Linearised, gains: Sequence[Vector]) -> Matrix:
    """Lower triangle of ``S``; the factorisation reads nothing else."""
    return tuple(
        tuple(dot(row, gains[j]) + noises[j] for j in range(i + 1))
        for i, (row, noises) in enumerate(zip(model.rows, model.noise, strict=True))
    )


def _surprise(prior: Gaussian, observed: Sequence[float], model: Linearised) -> Vector:
    offset = add(prior.mean, model.at, scale=-1.0)
    return tuple(
        y - value - dot(row, offset)
        for y, value, row in zip(observed, model.value, model.rows, strict=True)
    )


def _whiten(lower: Sequence[Sequence[float]], gains: Sequence[Vector]) -> Matrix:
    """Rows ``w_k`` with ``P H^T S^-1 H P = W W^T``; an unknown nothing depends on has none."""
    nothing = (0.0,) * len(lower)
    return tuple(
        tuple(forward_solve(lower, column)) if any(column) else nothing
        for column in zip(*gains, strict=True)
    )


def merge(parts: Sequence[tuple[float, Gaussian]]) -> Gaussian:
    """One Gaussian with the mean and covariance of a weighted mixture."""
    size = len(parts[0][1].mean)
    mean = tuple(math.fsum(w * part.mean[i] for w, part in parts) for i in range(size))
    offsets = [(w, part, add(part.mean, mean, scale=-1.0)) for w, part in parts if w > 0]
    covariance = tuple(
        tuple(
            math.fsum(w * (part.covariance[i][j] + away[i] * away[j]) for w, part, away in offsets)
            for j in range(size)
        )
        for i in range(size)
    )
    return Gaussian(mean, covariance)


def keep_positive(belief: Gaussian, index: int) -> Gaussian:
    """Condition on one unknown being above zero, by moment matching.

    Used when predicting, never stored, so that the constraint is applied once.
    """
    mean, sd = belief.mean[index], belief.sd(index)
    if sd == 0.0:
        return belief
    new_mean, new_sd = truncated_above_zero(mean, sd)
    column = tuple(row[index] / (sd * sd) for row in belief.covariance)
    shrink = sd * sd - new_sd * new_sd
    covariance = tuple(
        add(row, column, scale=-shrink * weight) if weight else row
        for row, weight in zip(belief.covariance, column, strict=True)
    )
    return Gaussian(add(belief.mean, column, scale=new_mean - mean), covariance)
