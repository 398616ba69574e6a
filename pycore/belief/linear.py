"""The little linear algebra the belief needs, on tuples of floats.

Matrices have a dozen rows; plain Python answers before numpy would have been loaded.
Sums use :func:`math.fsum`, so that two interpreters give the same digits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

Vector = tuple[float, ...]
Matrix = tuple[Vector, ...]


def dot(a: Sequence[float], b: Sequence[float]) -> float:
    """``sum a_i b_i``."""
    return math.fsum(map(float.__mul__, a, b))


def times(matrix: Sequence[Sequence[float]], vector: Sequence[float]) -> Vector:
    """``matrix @ vector``."""
    return tuple(dot(row, vector) for row in matrix)


def scaled(values: Sequence[float], vector: Sequence[float]) -> Vector:
    """``diagonal(values) @ vector``: the same digits as :func:`times`, without the zeros."""
    return tuple(map(float.__mul__, values, vector))

def add(a: Sequence[float], b: Sequence[float], *, scale: float = 1.0) -> Vector:
    """``a + scale * b``."""
    return tuple(x + scale * y for x, y in zip(a, b, strict=True))


def diagonal(values: Sequence[float]) -> Matrix:
    """Square matrix with ``values`` on its diagonal."""
    size = len(values)
    return tuple(tuple(values[i] if i == j else 0.0 for j in range(size)) for i in range(size))


def less_outer(covariance: Matrix, whitened: Sequence[Sequence[float]]) -> Matrix:
    """``P - W W^T``, worked out on one side of the diagonal so that it stays symmetric."""
    half = [
        [value - dot(a, b) for value, b in zip(row, whitened[: i + 1], strict=False)]
        for i, (row, a) in enumerate(zip(covariance, whitened, strict=True))
    ]
    size = range(len(half))
    return tuple(tuple(half[max(i, j)][min(i, j)] for j in size) for i in size)


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


def log_determinant(lower: Sequence[Sequence[float]]) -> float:
    """Logarithm of the determinant of ``lower @ lower^T``."""
    return 2.0 * math.fsum(math.log(row[i]) for i, row in enumerate(lower))
