"""The little linear algebra the belief needs, on tuples of floats.

Matrices have a dozen rows; plain Python answers before numpy would have been loaded.
Sums use :func:`math.fsum`, so that two interpreters give the same digits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from operator import mul

Vector = tuple[float, ...]
Matrix = tuple[Vector, ...]


def dot(a: Sequence[float], b: Sequence[float]) -> float:
    """``sum a_i b_i``."""
    return math.fsum(map(mul, a, b))


def times(matrix: Sequence[Sequence[float]], vector: Sequence[float]) -> Vector:
    """``matrix @ vector``."""
    return tuple(dot(row, vector) for row in matrix)


def scaled(values: Sequence[float], vector: Sequence[float]) -> Vector:
    """``diagonal(values) @ vector``: the same digits as :func:`times`, without the zeros."""
    return tuple(map(mul, values, vector))


def add(a: Sequence[float], b: Sequence[float], *, scale: float = 1.0) -> Vector:
    """``a + scale * b``."""
    return tuple(x + scale * y for x, y in zip(a, b, strict=True))


def diagonal(values: Sequence[float]) -> Matrix:
    """Square matrix with ``values`` on its diagonal."""
    last = len(values) - 1
    return tuple((0.0,) * i + (value,) + (0.0,) * (last - i) for i, value in enumerate(values))


def less_outer(covariance: Matrix, whitened: Sequence[Sequence[float]]) -> Matrix:
    """``P - W W^T``, worked out on one side of the diagonal so that it stays symmetric.

    Rows of ``W`` that are all zero take nothing, and are passed over.
    """
    moved = [i for i, row in enumerate(whitened) if any(row)]
    full = [list(row) for row in covariance]
    for place, i in enumerate(moved):
        for j in moved[: place + 1]:
            full[i][j] = full[j][i] = covariance[i][j] - dot(whitened[i], whitened[j])
    return tuple(tuple(row) for row in full)


def cholesky(matrix: Sequence[Sequence[float]]) -> list[list[float]]:
    """Lower triangle ``C`` with ``C C^T = matrix``, for a positive definite matrix.

    Raises :class:`ValueError` when the matrix is not positive definite.
    """
    lower: list[list[float]] = []
    for i, row in enumerate(matrix):
        new: list[float] = []
        for j in range(i):
            new.append((row[j] - dot(new[:j], lower[j][:j])) / lower[j][j])
        new.append(math.sqrt(row[i] - dot(new, new)))
        lower.append(new)
    return lower


def forward_solve(lower: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """``x`` with ``lower @ x = right``."""
    solved: list[float] = []
    for row, value in zip(lower, right, strict=True):
        count = len(solved)
        solved.append((value - dot(row[:count], solved)) / row[count])
    return solved


def backward_solve(lower: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """``x`` with ``lower^T @ x = right``."""
    solved = list(right)
    for i in range(len(solved) - 1, -1, -1):
        below = [row[i] for row in lower[i + 1 :]]
        solved[i] = (solved[i] - dot(below, solved[i + 1 :])) / lower[i][i]
    return solved


def log_determinant(lower: Sequence[Sequence[float]]) -> float:
    """Logarithm of the determinant of ``lower @ lower^T``."""
    return 2.0 * math.fsum(math.log(row[i]) for i, row in enumerate(lower))
