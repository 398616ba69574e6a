"""Folding one eye's lesson into what is believed of the surgeon.

One Kalman step for each eye over all its readings and its follow-up together. Every
observation's surprise, given those before it, counts as at most two SD, or as much as was
found beforehand; covariances shrink as usual. The follow-up's surprise is reported twice, for
the calibration of spreads: against the plan alone, and after the readings. Test:
``tests/limits/test_surgeon.py``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from pycore.belief.gaussian import Gaussian
from pycore.belief.linear import Matrix, Vector, add, cholesky, dot, forward_solve, less_outer, times
from pycore.belief.surgeon_eye import Lesson, back_solve, capped_solve, plus_diagonal

#: No reading counts with more than three of its SD when noise is estimated.
_MOST_RESIDUAL: Final = 3.0


@dataclass(frozen=True, slots=True)
class Folded:
    """The surgeon after one more eye, with the follow-up's surprise in SD.

    ``after_readings`` is ``None`` for an eye without readings. ``lower`` and ``surprise``
    are the factor of the covariance of what was observed, and what was observed; ``counted``
    is the residual that moved the belief.
    """

    belief: Gaussian
    plan: float
    after_readings: float | None
    lower: Sequence[Sequence[float]]
    surprise: Vector
    counted: Vector


def fold(
    belief: Gaussian,
    rows: Matrix,
    eye: Lesson,
    noise_sd_d: Mapping[str, float],
    *,
    counted: Vector | None = None,
) -> Folded:
    """The surgeon's belief after ``eye``; ``rows`` are its gradients in the belief's order.

    ``counted`` is the residual to learn from; without it surprises are capped here.
    """
    gains = [times(belief.covariance, row) for row in rows]
    total = _total(rows, gains, eye, noise_sd_d)
    lower = cholesky(total)
    expected = tuple(dot(row, belief.mean) for row in rows)
    surprise = add(eye.residual, expected, scale=-1.0)
    steps = capped_solve(lower, surprise)
    if counted is None:
        counted = tuple(
            at + dot(row, steps.capped[: len(row)]) for at, row in zip(expected, lower, strict=True)
        )
    moves = forward_solve(lower, add(counted, expected, scale=-1.0))
    whitened = [forward_solve(lower, column) for column in zip(*gains, strict=True)]
    mean = add(belief.mean, [dot(row, moves) for row in whitened])
    return Folded(
        Gaussian(mean, less_outer(belief.covariance, whitened)),
        plan=surprise[-1] / math.sqrt(total[-1][-1]),
        after_readings=steps.plain[-1] if len(rows) > 1 else None,
        lower=lower,
        surprise=surprise,
        counted=counted,
    )


def noise_terms(
    found: Folded, eye: Lesson, noise_sd_d: Mapping[str, float]
) -> list[tuple[str, float]]:
    """Instrument and ``min(r^2, 9 s^2) + v`` of every reading, all about its eye being known.

    With ``S`` the covariance of what was observed, the noise of reading ``i`` has mean
    ``r = s^2 (S^-1 surprise)_i`` and variance ``v = s^2 - s^4 (S^-1)_ii``.
    """
    weights = back_solve(found.lower, forward_solve(found.lower, found.surprise))
    return [
        (name, _term(noise_sd_d[name] ** 2, weights[i], _inverse_at(found.lower, i)))
        for i, name in enumerate(eye.instruments)
        if name is not None
    ]


def _term(variance: float, weight: float, inverse: float) -> float:
    squared = (variance * weight) ** 2
    return min(squared, _MOST_RESIDUAL**2 * variance) + variance - variance**2 * inverse


def _inverse_at(lower: Sequence[Sequence[float]], index: int) -> float:
    """Diagonal entry of the inverse of ``lower @ lower^T``."""
    unit = [1.0 if i == index else 0.0 for i in range(len(lower))]
    column = forward_solve(lower, unit)
    return dot(column, column)


def _total(
    rows: Matrix, gains: Sequence[Vector], eye: Lesson, noise_sd_d: Mapping[str, float]
) -> Matrix:
    """Lower triangle of the covariance of what was observed."""
    return tuple(
        tuple(dot(row, gains[j]) + part[j] for j in range(i + 1))
        for i, (row, part) in enumerate(zip(rows, own_covariance(eye, noise_sd_d), strict=True))
    )


def own_covariance(eye: Lesson, noise_sd_d: Mapping[str, float]) -> Matrix:
    """Lower triangle of everything about the eye that is not the surgeon's."""
    noise = [0.0 if name is None else noise_sd_d[name] ** 2 for name in eye.instruments]
    return plus_diagonal(eye.noise, noise)
