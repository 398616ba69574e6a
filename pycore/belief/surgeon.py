"""What a surgeon's own finished eyes say: own means, and how wide to predict.

Eyes are folded in order of surgery date, in two passes. The first calibrates the noise of
each instrument and settles how much each surprise counts; the second, with these, finds the
means and two factors, one for the plan's
SD and one for the SD after readings::

    s^2 = (10 s0^2 + sum[min(r^2, 9 s^2) + v]) / (10 + readings)
    f^2 = (5 + 1.05 sum min(z^2, 9)) / (5 + eyes),      f kept in 0.8 to 2.5

``z`` is the standardised surprise of a follow-up, judged before its eye was learned from.
Factors widen or narrow intervals; they never move a mean. The weights 10 and 5 and the
bounds are our judgement. Tests: ``tests/limits/test_surgeon.py``,
``tests/simulation/test_surgeon.py``.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.belief.gaussian import Gaussian
from pycore.belief.linear import Matrix, Vector
from pycore.belief.priors import INSTRUMENTS, READING_NOISE_SD_D
from pycore.belief.surgeon_caps import counted_residual
from pycore.belief.surgeon_eye import Lesson
from pycore.belief.surgeon_fold import fold, noise_terms, own_covariance
from pycore.belief.surgeon_split import FLANGED, POSITION, before_any_eye, own_names

#: Readings that the default noise is worth; eyes that the default spread is worth.
NOISE_WEIGHT: Final = 10.0
FACTOR_WEIGHT: Final = 5.0
#: Makes up for what clipping at three SD takes off, and a little more (our judgement).
CLIP_CORRECTION: Final = 1.05
MOST_COUNTED_SD: Final = 3.0
LEAST_FACTOR: Final = 0.8
MOST_FACTOR: Final = 2.5


@dataclass(frozen=True, slots=True)
class Factor:
    """One calibrated factor: the value used, what it would be unbounded, and from how many."""

    value: float = 1.0
    unbounded: float = 1.0
    eyes: int = 0

    @property
    def bound(self) -> str | None:
        """``least`` or ``most`` when a bound was needed."""
        if self.value == self.unbounded:
            return None
        return "least" if self.value > self.unbounded else "most"


@dataclass(frozen=True, slots=True)
class SurgeonBelief:
    """Own means as deviations from the defaults, in the order of ``names``.

    ``settled_entries_mm`` are the entry distances between which the own eyes settle the sign of
    the entry effect; empty while they do not.
    """

    names: tuple[str, ...]
    own: Gaussian
    noise_sd_d: dict[str, float]
    plan_factor: Factor = Factor()
    after_factor: Factor = Factor()
    eyes: int = 0
    settled_entries_mm: tuple[float, ...] = ()

    def mean(self, name: str) -> float:
        return self.own.mean[self.names.index(name)]

    def sd(self, name: str) -> float:
        return self.own.sd(self.names.index(name))


@dataclass(frozen=True, slots=True)
class TrailStep:
    """The surgeon's belief after one more eye."""

    code: str
    on: str
    belief: SurgeonBelief


@dataclass(frozen=True, slots=True)
class History:
    """The belief after all eyes, how it came about, and what it rests on."""

    belief: SurgeonBelief
    trail: tuple[TrailStep, ...]
    lessons: tuple[Lesson, ...]
    readings: dict[str, int]


def no_history(styles: Sequence[str] = (FLANGED,)) -> SurgeonBelief:
    """The belief about a surgeon nothing is known of."""
    return SurgeonBelief(own_names(styles), before_any_eye(styles), dict(READING_NOISE_SD_D))


def learn(lessons: Sequence[Lesson]) -> History:
    """Fold all eyes in order of surgery date; the order given does not matter."""
    ordered = tuple(sorted(lessons, key=lambda one: (one.on, one.code)))
    start = no_history(sorted({FLANGED, *(one.style for one in ordered)}))
    touched, rows = _touched([_rows(one, start.names) for one in ordered], start.names)
    first = _first_pass(start, touched, ordered, rows)
    trail = _second_pass(start, touched, ordered, rows, first)
    counts = Counter(name for one in ordered for name in one.instruments if name is not None)
    return History(
        belief=trail[-1].belief if trail else start,
        trail=trail,
        lessons=ordered,
        readings={name: counts[name] for name in INSTRUMENTS},
    )


def _rows(one: Lesson, names: tuple[str, ...]) -> Matrix:
    """The lesson's gradients with its style's position in place."""
    own = f"{POSITION}:{one.style}"
    places = [name for name in names if name.startswith(POSITION)]
    return tuple(
        (*row, *(slope if name == own else 0.0 for name in places))
        for row, slope in zip(one.rows, one.positions, strict=True)
    )


def _touched(rows: Sequence[Matrix], names: tuple[str, ...]) -> tuple[list[int], list[Matrix]]:
    """Places of the unknowns that some eye says anything about, and the rows over these.

    The others stay as they were and apart from these, so they need not be carried along.
    """
    places = [i for i in range(len(names)) if any(row[i] for eye in rows for row in eye)]
    return places, [tuple(tuple(row[i] for i in places) for row in eye) for eye in rows]


def _part(whole: Gaussian, places: Sequence[int]) -> Gaussian:
    return Gaussian(
        tuple(whole.mean[i] for i in places),
        tuple(tuple(whole.covariance[i][j] for j in places) for i in places),
    )


def _whole(start: Gaussian, places: Sequence[int], part: Gaussian) -> Gaussian:
    """``start`` with the touched unknowns as they are in ``part``."""
    mean, covariance = list(start.mean), [list(row) for row in start.covariance]
    for i, place in enumerate(places):
        mean[place] = part.mean[i]
        for j, other in enumerate(places):
            covariance[place][other] = part.covariance[i][j]
    return Gaussian(tuple(mean), tuple(map(tuple, covariance)))


@dataclass(frozen=True, slots=True)
class _FirstPass:
    """Calibrated noise, and the residual with which each eye counts."""

    noise_sd_d: dict[str, float]
    counted: list[Vector]


def _first_pass(
    start: SurgeonBelief, touched: Sequence[int], ordered: Sequence[Lesson], rows: Sequence[Matrix]
) -> _FirstPass:
    terms: dict[str, list[float]] = {name: [] for name in INSTRUMENTS}
    own, first = _part(start.own, touched), []
    for one, gradients in zip(ordered, rows, strict=True):
        found = fold(own, gradients, one, start.noise_sd_d)
        own = found.belief
        first.append(found.counted)
        for instrument, term in noise_terms(found, one, start.noise_sd_d):
            terms[instrument].append(term)
    counted = [
        counted_residual(own, gradients, own_covariance(one, start.noise_sd_d), before, one.residual)
        for one, gradients, before in zip(ordered, rows, first, strict=True)
    ]
    calibrated = {name: noise_sd_d(start.noise_sd_d[name], found) for name, found in terms.items()}
    return _FirstPass(calibrated, counted)


def noise_sd_d(default_sd_d: float, terms: Sequence[float]) -> float:
    """Calibrated SD of one reading; the default itself without readings."""
    if not terms:
        return default_sd_d
    total = NOISE_WEIGHT * default_sd_d**2 + math.fsum(terms)
    return math.sqrt(total / (NOISE_WEIGHT + len(terms)))


def _second_pass(
    start: SurgeonBelief,
    touched: Sequence[int],
    ordered: Sequence[Lesson],
    rows: Sequence[Matrix],
    first: _FirstPass,
) -> tuple[TrailStep, ...]:
    own, steps = _part(start.own, touched), []
    plan, after = _Surprises(), _Surprises()
    eyes = zip(ordered, rows, first.counted, strict=True)
    for count, (one, gradients, counted) in enumerate(eyes, start=1):
        found = fold(own, gradients, one, first.noise_sd_d, counted=counted)
        own = found.belief
        plan.add(found.plan)
        after.add(found.after_readings)
        whole = _whole(start.own, touched, own)
        factors = plan.factor(), after.factor()
        belief = SurgeonBelief(start.names, whole, first.noise_sd_d, *factors, eyes=count)
        steps.append(TrailStep(one.code, one.on, belief))
    return tuple(steps)


class _Surprises:
    """Clipped squares of surprises, summed as they come.

    Kept as the parts of their exact sum, two dozen at most (Shewchuk, Discrete Comput Geom
    1997;18:305-363), so that a factor after each eye does not add up all squares before it again.
    """

    def __init__(self) -> None:
        self._parts: list[float] = []
        self._count = 0

    def add(self, surprise: float | None) -> None:
        if surprise is not None:
            self._parts = exact_parts(self._parts, min(surprise**2, MOST_COUNTED_SD**2))
            self._count += 1

    def factor(self) -> Factor:
        return factor_of(self._parts, count=self._count)


def exact_parts(parts: Sequence[float], value: float) -> list[float]:
    """Floats whose exact sum is that of ``parts`` and ``value``, without overlapping digits."""
    kept: list[float] = []
    for part in parts:
        large, small = (value, part) if abs(value) >= abs(part) else (part, value)
        value = large + small
        rest = small - (value - large)
        if rest:
            kept.append(rest)
    return [*kept, value]


def factor_of(squares: Sequence[float], *, count: int | None = None) -> Factor:
    """The factor for surprises whose clipped squares are given, or ``count`` of them in parts."""
    eyes = len(squares) if count is None else count
    total = FACTOR_WEIGHT + CLIP_CORRECTION * math.fsum(squares)
    found = math.sqrt(total / (FACTOR_WEIGHT + eyes))
    return Factor(min(max(found, LEAST_FACTOR), MOST_FACTOR), found, eyes)
