"""How much each eye may count, judged against all the surgeon's other eyes.

A surprise counts as at most two SD. Judged against the eyes before it, the cap would make the
answer depend on the order of surgery (by 0.03 D). So after a first pass every eye is taken
out again, its surprises are capped against what the others leave, and the second pass folds
residuals that keep the capped ones. With ``R`` the eye's own covariance, ``H`` its rows and
``m``, ``P`` the belief after all eyes (this one with residual ``r``)::

    M = R - H P H^T      prediction = r - R M^-1 (r - H m)      covariance = R M^-1 R

(leave-one-out in a linear Gaussian model; Cook & Weisberg, Residuals and Influence in
Regression, 1982, chapter 2). Test: ``tests/limits/test_surgeon.py``.
"""

from __future__ import annotations

from collections.abc import Sequence

from pycore.belief.gaussian import Gaussian
from pycore.belief.linear import Matrix, Vector, cholesky, dot, forward_solve, times
from pycore.belief.surgeon_eye import capped_solve


def counted_residual(
    belief: Gaussian, rows: Matrix, own: Matrix, first: Vector, residual: Vector
) -> Vector:
    """The residual that counts: ``residual`` with each surprise capped.

    ``belief`` is the one after all eyes, this eye having counted with ``first``; ``own`` is
    the lower triangle of the eye's own covariance.
    """
    size = range(len(rows))
    gains = [times(belief.covariance, row) for row in rows]
    lower = cholesky(
        [[own[i][j] - dot(rows[i], gains[j]) for j in range(i + 1)] for i in size]
    )
    halves = [
        forward_solve(lower, [own[max(i, j)][min(i, j)] for j in size]) for i in size
    ]
    left = forward_solve(lower, [r - dot(row, belief.mean) for r, row in zip(first, rows, strict=True)])
    predicted = [r - dot(half, left) for r, half in zip(first, halves, strict=True)]
    return _capped(halves, predicted, residual)


def _capped(
    halves: Sequence[Sequence[float]], predicted: Sequence[float], residual: Vector
) -> Vector:
    """``predicted`` plus the capped surprises; covariance is ``halves halves^T``."""
    lower = cholesky([[dot(half, other) for other in halves[: i + 1]] for i, half in enumerate(halves)])
    steps = capped_solve(lower, [y - p for y, p in zip(residual, predicted, strict=True)])
    if steps.plain == steps.capped:
        return residual
    return tuple(
        p + dot(row, steps.capped[: i + 1]) for i, (p, row) in enumerate(zip(predicted, lower, strict=True))
    )
