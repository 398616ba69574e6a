"""Readings in theatre, their noise, and what the eye's belief becomes after them.

Any reading may be gross: hypotheses with none, one or two gross readings are weighted by
their likelihood and merged to one mean and covariance. What one hypothesis says is worked
out in :mod:`pycore.belief.equations`. Tests:
``tests/simulation/test_importance.py``, ``tests/limits/test_readings.py``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from pycore.belief.equations import Equations
from pycore.belief.equations import Reading as Reading
from pycore.belief.eye import EyeModel
from pycore.belief.gaussian import Gaussian, Posterior, merge
from pycore.belief.priors import GROSS_CHANCE, Prior, by_unknown, covariance
from pycore.errors import OpticsError

#: More than two gross readings in one eye would mean that none can be believed.
MOST_GROSS: Final = 2


@dataclass(frozen=True, slots=True)
class After:
    """Belief after the readings, and the chance of each reading being gross."""

    belief: Gaussian
    gross: tuple[float, ...]


def prior_belief(priors: dict[str, Prior]) -> Gaussian:
    """The belief before any reading, as a joint Gaussian.

    Unknowns are independent unless a surgeon's history links them.
    """
    parts = by_unknown(priors)
    return Gaussian(tuple(part.mean for part in parts), covariance(parts))


def after_readings(eye: EyeModel, prior: Gaussian, readings: Sequence[Reading]) -> After:
    """Belief after all readings; the prior itself when there are none.

    Raises :class:`OpticsError` when no hypothesis has an eye that forms an image.
    """
    if not readings:
        return After(prior, ())
    solved = _solve_hypotheses(eye, prior, readings)
    weights = _weights([(gross, part.log_density) for gross, part in solved], len(readings))
    belief = merge([(w, part.belief) for w, (_, part) in zip(weights, solved, strict=True)])
    return After(belief, _gross_chances(weights, [gross for gross, _ in solved], len(readings)))


def _solve_hypotheses(
    eye: EyeModel, prior: Gaussian, readings: Sequence[Reading]
) -> list[tuple[frozenset[int], Posterior]]:
    """Every hypothesis that some eye can explain, each started where the first one ended.

    A reading mistyped by tens of dioptres would need an impossible eye unless it is gross:
    hypotheses without an image are left out, and only if none remains is it an error.
    """
    solved: list[tuple[frozenset[int], Posterior]] = []
    equations = Equations(eye, prior, readings)
    at = prior.mean
    for gross in _hypotheses(len(readings)):
        with suppress(OpticsError):
            solved.append((gross, equations.solve(gross, at)))
            at = solved[0][1].belief.mean
    if not solved:
        raise OpticsError(
            "No eye near these measurements could give these readings. Check the readings, the axial "
            "length and the lens power.",
            field="readings",
        )
    return solved


def _hypotheses(count: int) -> Iterator[frozenset[int]]:
    for size in range(min(MOST_GROSS, count) + 1):
        yield from map(frozenset, combinations(range(count), size))


def _weights(parts: Sequence[tuple[frozenset[int], float]], count: int) -> list[float]:
    logs = [
        density + len(gross) * math.log(GROSS_CHANCE) + (count - len(gross)) * math.log1p(-GROSS_CHANCE)
        for gross, density in parts
    ]
    top = max(logs)
    scaled = [math.exp(value - top) for value in logs]
    total = math.fsum(scaled)
    return [value / total for value in scaled]


def _gross_chances(
    weights: Sequence[float], hypotheses: Sequence[frozenset[int]], count: int
) -> tuple[float, ...]:
    return tuple(
        math.fsum(w for w, gross in zip(weights, hypotheses, strict=True) if index in gross)
        for index in range(count)
    )
