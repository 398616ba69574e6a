"""What the readings of one eye say under one hypothesis about which of them are gross.

Readings at one placement of the haptics share a slip (real) and a drift (not real); their
noise is otherwise independent. Iterated extended Kalman steps (Bell & Cathey, IEEE Trans
Automat Contr 1993;38:294-297) over all readings together, so that their order is nothing.
Readings with one expected value are merged first, which loses nothing
(:mod:`pycore.belief.repeats`). Tests: ``tests/simulation/test_importance.py``,
``tests/limits/test_repeats.py``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from pycore.belief.eye import EyeModel, Predicted, predict_reading
from pycore.belief.gaussian import Gaussian, Linearised, Posterior, first_half
from pycore.belief.linear import Matrix, Vector
from pycore.belief.priors import DRIFT_SD_D, GROSS_SD_D, SLIP_SD_MM, TRAVEL
from pycore.belief.repeats import Merged, gathered, merged

#: Steps stop when no unknown moves further than this (mm or D): far below any display.
CONVERGED: Final = 1e-7
MOST_STEPS: Final = 12


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
class Cell:
    """Readings that differ in nothing but their own noise."""

    first: Reading
    members: tuple[tuple[int, Reading], ...]

    def merged(self, gross: frozenset[int]) -> Merged:
        """The cell's mean and its own noise."""
        return merged([
            Merged(one.refraction_d, one.noise_sd_d**2 + (GROSS_SD_D**2 if index in gross else 0.0))
            for index, one in self.members
        ])


#: Cells with one expected value and independent errors: one equation.
Row = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Noise:
    """How a row's readings are off: own values, their noise, and the density left over."""

    values: Vector
    matrix: Matrix
    log_rest: float


@dataclass(slots=True)
class Equations:
    """The readings of one eye, gathered, with the predictions at the start kept."""

    eye: EyeModel
    prior: Gaussian
    readings: Sequence[Reading]
    latest: int = field(init=False)
    rows: list[Row] = field(init=False)
    plain: dict[int, Merged] = field(init=False)
    _known: dict[Vector, list[Predicted]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.latest = self.readings[-1].placement
        self.rows = rows_of(self.readings, self.latest)
        self.plain = {id(cell): cell.merged(frozenset()) for row in self.rows for cell in row}

    def solve(self, gross: frozenset[int], start: Vector) -> Posterior:
        """Iterate the linearised update until the mean stands still.

        Raises :class:`pycore.errors.OpticsError` when an eye on the way forms no image.
        """
        own = self._own(gross)
        at, predicted = start, self._at_start(start)
        for _ in range(MOST_STEPS):
            noise = self._noise(own, predicted, travel_ratio=at[TRAVEL])
            step = first_half(self.prior, noise.values, _linearised(at, predicted, noise))
            moved = max(abs(a - b) for a, b in zip(step.mean, at, strict=True))
            at = step.mean
            if moved < CONVERGED:
                break
            predicted = self._predicted(at)
        found = step.posterior(self.prior)
        return Posterior(found.belief, found.log_density + noise.log_rest)

    def _own(self, gross: frozenset[int]) -> list[list[Merged]]:
        """Every cell's own value and noise; only those with a gross reading differ."""
        return [
            [
                cell.merged(gross) if any(index in gross for index, _ in cell.members)
                else self.plain[id(cell)]
                for cell in row
            ]
            for row in self.rows
        ]

    def _at_start(self, start: Vector) -> list[Predicted]:
        """Every hypothesis but the first starts at the same point."""
        if start not in self._known:
            self._known[start] = self._predicted(start)
        return self._known[start]

    def _predicted(self, at: Vector) -> list[Predicted]:
        return [
            predict_reading(
                self.eye,
                at,
                outside_mm=row[0].first.outside_mm,
                instrument=row[0].first.instrument,
                latest=row[0].first.placement == self.latest,
            )
            for row in self.rows
        ]

    def _noise(
        self, own: Sequence[Sequence[Merged]], predicted: Sequence[Predicted], *, travel_ratio: float
    ) -> Noise:
        """Covariance of the rows beyond what the state explains."""
        parts = [
            _whole(row, cells, one.per_position, self.latest, travel_ratio)
            for row, cells, one in zip(self.rows, own, predicted, strict=True)
        ]
        size = range(len(parts))
        matrix = tuple(
            tuple(
                parts[i].variance if i == j else self._between(i, j, predicted, travel_ratio)
                for j in size
            )
            for i in size
        )
        return Noise(tuple(p.value for p in parts), matrix, math.fsum(p.log_rest for p in parts))

    def _between(self, i: int, j: int, predicted: Sequence[Predicted], travel_ratio: float) -> float:
        """Rows share something only within one placement."""
        first, second = self.rows[i][0].first, self.rows[j][0].first
        if first.placement != second.placement:
            return 0.0
        slopes = predicted[i].per_position * predicted[j].per_position
        return shared_variance(first, second, slopes, self.latest, travel_ratio)


def rows_of(readings: Sequence[Reading], latest: int) -> list[Row]:
    """Equal readings in cells; cells alone at an older placement with others like them."""
    cells = [
        Cell(members[0][1], tuple(members))
        for members in gathered(enumerate(readings), lambda one: _kind(one[1]))
    ]
    crowd = [cell.first.placement for cell in cells]

    def key(cell: Cell) -> tuple[object, ...]:
        apart = cell.first.placement != latest and crowd.count(cell.first.placement) == 1
        return (*_kind(cell.first)[:2], apart, None if apart else id(cell))

    return [tuple(row) for row in gathered(cells, key)]


def _kind(reading: Reading) -> tuple[float, str, int, float]:
    """Everything that must be equal for one expected value and one shared error."""
    return reading.outside_mm, reading.instrument, reading.placement, reading.length_sd_mm


def _linearised(at: Vector, predicted: Sequence[Predicted], noise: Noise) -> Linearised:
    return Linearised(
        at=at,
        value=tuple(part.value_d for part in predicted),
        rows=tuple(part.gradient for part in predicted),
        noise=noise.matrix,
    )


def _whole(
    row: Row, own: Sequence[Merged], slope: float, latest: int, travel_ratio: float
) -> Merged:
    """One row's value with its own noise and that of its placements."""
    return merged([
        Merged(
            part.value,
            part.variance + shared_variance(cell.first, cell.first, slope * slope, latest, travel_ratio),
            part.log_rest,
        )
        for cell, part in zip(row, own, strict=True)
    ])


def shared_variance(
    first: Reading, second: Reading, slopes: float, latest: int, travel_ratio: float
) -> float:
    """Covariance of two readings at one placement that is not in the state, D squared.

    A named end's length error is one error for the whole placement; the product of both
    readings' SDs keeps the matrix a covariance when only one of them was measured.
    """
    length = travel_ratio**2 * first.length_sd_mm * second.length_sd_mm
    if first.placement == latest:
        return slopes * length
    return slopes * (SLIP_SD_MM**2 + length) + DRIFT_SD_D**2
