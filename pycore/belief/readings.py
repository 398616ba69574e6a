"""Readings in theatre, their noise, and what the eye's belief becomes after them.

Readings at one placement of the haptics share a slip (real) and a drift (not real); their
noise is otherwise independent. Any reading may be gross: hypotheses with none, one or two
gross readings are weighted by their likelihood and merged to one mean and covariance.
Each hypothesis is solved by iterated extended Kalman steps (Bell & Cathey, IEEE Trans
Automat Contr 1993;38:294-297) over all readings together. Tests:
``tests/simulation/test_importance.py``, ``tests/limits/test_readings.py``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from pycore.belief.eye import EyeModel, Predicted, predict_reading
from pycore.belief.gaussian import Gaussian, Linearised, Posterior, first_half, merge
from pycore.belief.linear import Matrix, Vector
from pycore.belief.priors import (
    DRIFT_SD_D,
    GROSS_CHANCE,
    GROSS_SD_D,
    SLIP_SD_MM,
    TRAVEL,
    Prior,
    by_unknown,
    covariance,
)
from pycore.errors import OpticsError

#: Steps stop when no unknown moves further than this (mm or D): far below any display.
CONVERGED: Final = 1e-7
MOST_STEPS: Final = 12
#: More than two gross readings in one eye would mean that none can be believed.
MOST_GROSS: Final = 2


@dataclass(frozen=True, slots=True)
class Reading:
    """One refraction reading.

    ``outside_mm`` is the mean of both haptics' lengths to the original tips; ``placement``
    numbers the positions of the haptics in order; ``length_sd_mm`` is above zero when a
    named end stands in for a measurement.
    """

    outside_mm: float
    refraction_d: float
    instrument: str
    noise_sd_d: float
    placement: int
    length_sd_mm: float = 0.0


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
    at = prior.mean
    for gross in _hypotheses(len(readings)):
        with suppress(OpticsError):
            solved.append((gross, _solve(eye, prior, readings, gross, at)))
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


def _solve(
    eye: EyeModel,
    prior: Gaussian,
    readings: Sequence[Reading],
    gross: frozenset[int],
    start: Vector,
) -> Posterior:
    """Iterate the linearised update until the mean stands still."""
    observed = [reading.refraction_d for reading in readings]
    at = start
    for _ in range(MOST_STEPS):
        step = first_half(prior, observed, _linearise(eye, at, readings, gross))
        moved = max(abs(a - b) for a, b in zip(step.mean, at, strict=True))
        at = step.mean
        if moved < CONVERGED:
            break
    return step.posterior(prior)


def _linearise(
    eye: EyeModel, at: Vector, readings: Sequence[Reading], gross: frozenset[int]
) -> Linearised:
    latest = readings[-1].placement
    predicted = [
        predict_reading(
            eye,
            at,
            outside_mm=reading.outside_mm,
            instrument=reading.instrument,
            latest=reading.placement == latest,
        )
        for reading in readings
    ]
    return Linearised(
        at=at,
        value=tuple(part.value_d for part in predicted),
        rows=tuple(part.gradient for part in predicted),
        noise=_noise(readings, predicted, gross, travel_ratio=at[TRAVEL]),
    )


def _noise(
    readings: Sequence[Reading],
    predicted: Sequence[Predicted],
    gross: frozenset[int],
    *,
    travel_ratio: float,
) -> Matrix:
    """Covariance of the readings beyond what the state explains."""
    latest = readings[-1].placement

    def entry(i: int, j: int) -> float:
        first, second = readings[i], readings[j]
        own = first.noise_sd_d**2 + (GROSS_SD_D**2 if i in gross else 0.0) if i == j else 0.0
        if first.placement != second.placement:
            return own
        slopes = predicted[i].per_position * predicted[j].per_position
        variance = _shared_variance(first, second, latest, travel_ratio)
        return own + slopes * variance + (0.0 if first.placement == latest else DRIFT_SD_D**2)

    size = len(readings)
    return tuple(tuple(entry(i, j) for j in range(size)) for i in range(size))


def _shared_variance(first: Reading, second: Reading, latest: int, travel_ratio: float) -> float:
    """Covariance of the optic's position at one placement that is not in the state, mm^2.

    A named end's length error is one error for the whole placement; the product of both
    readings' SDs keeps the matrix a covariance when only one of them was measured.
    """
    slip = 0.0 if first.placement == latest else SLIP_SD_MM**2
    return slip + travel_ratio**2 * first.length_sd_mm * second.length_sd_mm
