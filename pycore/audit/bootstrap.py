"""Bootstrap intervals of the figures that have no closed form. The audit's only use of numpy.

Persons, not eyes, are drawn with replacement, so that both eyes of a person stay together. Each
draw is a weight per eye; every figure is a weighted one. Intervals are percentiles, 95 %, of
:data:`DRAWS` draws, of fewer for more than a thousand eyes, so that the time stays the same where
the intervals are narrow anyway. The generator is
seeded and named (PCG64), so equal eyes give equal intervals on every machine.

Source: Efron B, Tibshirani RJ, An Introduction to the Bootstrap, 1993, chapters 6, 8 and 13
(value from memory); persons as units: Ying GS, Maguire MG, Glynn R, Rosner B, Ophthalmic
Epidemiol 2017;24:130-140. Below ten persons there is no interval. Importing without numpy
raises :class:`NumpyNotReady`. Checked by ``tests/reference/test_bootstrap.py``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Final

from pycore.errors import NumpyNotReady

try:
    import numpy as np
except ModuleNotFoundError as error:
    raise NumpyNotReady(
        "The bootstrap intervals need numpy, which is still loading. Ask again shortly."
    ) from error

DRAWS: Final = 2000
#: At least so many for the longest series; draws times eyes otherwise stay below the cells.
LEAST_DRAWS: Final = 200
#: Percentiles of fewer persons are far too narrow to be shown (common practice, no source).
LEAST_PERSONS: Final = 10
MOST_CELLS: Final = 2_000_000
SEED: Final = 20261125
#: At once, so that ten thousand eyes need few megabytes.
_BLOCK_CELLS: Final = 1_000_000
_ENDS: Final = (2.5, 97.5)

Interval = tuple[float, float]
Array = Any


def draws_for(eyes: int) -> int:
    """How often a series of so many eyes is drawn."""
    return max(LEAST_DRAWS, min(DRAWS, MOST_CELLS // max(eyes, 1)))


def intervals(
    errors_d: Sequence[float], persons: Sequence[str], *, seed: int = SEED
) -> dict[str, Interval | None]:
    """95 % intervals of mean, SD, mean and median distance, and RMSE."""
    return _intervals(errors_d, persons, _FIGURES, seed)


def median_difference(
    first: Sequence[float], second: Sequence[float], persons: Sequence[str], *, seed: int = SEED
) -> Interval | None:
    """Interval of ``median |first| - median |second|`` on the same eyes, drawn together."""
    a, b = np.abs(np.asarray(first, dtype=float)), np.abs(np.asarray(second, dtype=float))
    if len(set(persons)) < LEAST_PERSONS:
        return None
    found = [_medians(weights, a) - _medians(weights, b)
             for weights in _weights(persons, draws_for(len(a)), seed)]
    return _ends(np.concatenate(found))


def _intervals(
    errors_d: Sequence[float], persons: Sequence[str],
    figures: Mapping[str, Callable[[Array, Array], Array]], seed: int,
) -> dict[str, Interval | None]:
    if len(set(persons)) < LEAST_PERSONS:
        return dict.fromkeys(figures)
    errors = np.asarray(errors_d, dtype=float)
    found: dict[str, list[Array]] = {name: [] for name in figures}
    for weights in _weights(persons, draws_for(len(errors)), seed):
        for name, figure in figures.items():
            found[name].append(figure(weights, errors))
    return {name: _ends(np.concatenate(parts)) for name, parts in found.items()}


def _weights(persons: Sequence[str], draws: int, seed: int) -> Iterator[Array]:
    """Blocks of draws by eyes: how often each eye's person was drawn."""
    place = {person: index for index, person in enumerate(dict.fromkeys(persons))}
    of_eye = np.asarray([place[person] for person in persons])
    count = len(place)
    source = np.random.Generator(np.random.PCG64(seed))
    block = max(1, _BLOCK_CELLS // len(of_eye))
    for start in range(0, draws, block):
        rows = min(block, draws - start)
        drawn = source.integers(0, count, size=(rows, count))
        cells = drawn + count * np.arange(rows)[:, None]
        times = np.bincount(cells.ravel(), minlength=rows * count).reshape(rows, count)
        yield times[:, of_eye].astype(float)


def _means(weights: Array, values: Array) -> Array:
    return weights @ values / weights.sum(axis=1)


def _spreads(weights: Array, values: Array) -> Array:
    """SD with n - 1; a draw of a single eye has none and counts as zero."""
    apart = values[None, :] - _means(weights, values)[:, None]
    squares = (weights * apart * apart).sum(axis=1)
    return np.sqrt(squares / np.maximum(weights.sum(axis=1) - 1.0, 1.0))


def _medians(weights: Array, sizes: Array) -> Array:
    """Weighted medians: the middle of every size repeated as often as it was drawn."""
    order = np.argsort(sizes, kind="stable")
    reached = np.cumsum(weights[:, order], axis=1)
    total = reached[:, -1]
    low = _reaching(reached, np.floor((total + 1.0) / 2.0))
    high = _reaching(reached, np.floor((total + 2.0) / 2.0))
    return (sizes[order][low] + sizes[order][high]) / 2.0


def _reaching(reached: Array, place: Array) -> Array:
    """Index at which each row first reaches ``place``."""
    return np.asarray([np.searchsorted(row, one) for row, one in zip(reached, place, strict=True)])


def _ends(values: Array) -> Interval:
    ends: Array = np.percentile(values, _ENDS)
    return float(ends[0]), float(ends[1])


_FIGURES: Final[dict[str, Callable[[Array, Array], Array]]] = {
    "mean_d": _means,
    "sd_d": _spreads,
    "mae_d": lambda weights, errors: _means(weights, np.abs(errors)),
    "medae_d": lambda weights, errors: _medians(weights, np.abs(errors)),
    "rmse_d": lambda weights, errors: np.sqrt(_means(weights, errors * errors)),
}
