"""The one-dimensional minimum: inner, at an end, flat, and with several valleys."""

from __future__ import annotations

import math

import pytest

from pycore.planning.minimum import grid, minimise


@pytest.mark.parametrize("centre", [0.7, 0.71, 1.0, 1.6180, 2.3, 2.4999, 2.5])
@pytest.mark.parametrize("power", [1, 2, 4])
def test_inner_minimum(centre: float, power: int) -> None:
    found = minimise(lambda x: abs(x - centre) ** power, low=0.7, high=2.5)
    assert found == pytest.approx(centre, abs=1e-4 if power < 4 else 2e-2)


@pytest.mark.parametrize("slope", [-1.0, 1.0])
def test_the_end_exactly_when_it_is_least_there(slope: float) -> None:
    """So that "nothing cut" is exactly nothing."""
    assert minimise(lambda x: slope * x, low=0.7, high=2.5) == (0.7 if slope > 0 else 2.5)


def test_an_interval_of_no_length() -> None:
    assert minimise(lambda x: x * x, low=1.0, high=1.0) == 1.0


def test_a_constant_stays_within_the_interval() -> None:
    assert 0.7 <= minimise(lambda x: 3.0, low=0.7, high=2.5) <= 2.5


def test_the_deeper_of_two_valleys() -> None:
    def valleys(x: float) -> float:
        return min((x - 1.0) ** 2, (x - 3.0) ** 2 - 0.1)

    assert minimise(valleys, low=0.0, high=4.0) == pytest.approx(3.0, abs=1e-3)


def test_never_asked_outside_the_interval() -> None:
    asked: list[float] = []

    def remember(x: float) -> float:
        asked.append(x)
        return math.cos(3 * x)

    minimise(remember, low=0.7, high=2.5)
    assert min(asked) == 0.7
    assert max(asked) == 2.5


def test_grid_has_exact_ends() -> None:
    points = grid(0.1, 0.7, steps=16)
    assert (points[0], points[-1], len(points)) == (0.1, 0.7, 17)
    assert list(points) == sorted(points)
