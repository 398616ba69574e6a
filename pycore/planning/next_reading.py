"""Which reading would help most, and when there are enough.

A reading that has not been taken lowers the spread by a known amount and moves the mean by
a surprise that is normal beforehand. So the expected squared distance after acting on it is
a one-dimensional integral: 15-point Gauss-Hermite quadrature over the surprise, with the
best length chosen for each surprise. Test: ``tests/simulation/test_next_reading.py``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.belief.eye import Predicted, predict_reading
from pycore.belief.linear import dot, times
from pycore.belief.normal import HERMITE_15
from pycore.belief.outcome import FinalView, Outcome
from pycore.belief.priors import DRIFT_SD_D, SLIP_SD_MM
from pycore.belief.readings import Reading
from pycore.fixation.haptic import FlangePlan, reachable_mm
from pycore.planning.minimum import grid
from pycore.planning.titration import LEAST_REACH_D, WITHIN_D, Advice

#: With less haptic outside the lens may slip back in while it is read (common practice).
LEAST_OUTSIDE_TO_READ_MM: Final = 1.0
#: Two placements differ when their lengths differ by more than the callipers' step.
SAME_PLACEMENT_MM: Final = 0.25
#: Stop when the best next reading adds less than this chance within 0.50 D.
ENOUGH_CHANCE: Final = 0.005
LEAST_PLACEMENTS: Final = 2
_STEPS: Final = 16


@dataclass(frozen=True, slots=True)
class NextReading:
    """``action`` is ``read``, ``enough`` or ``none``; ``place`` names where.

    ``outside_mm`` is the mean length to the original tips, ``None`` for anywhere. ``gain``
    is the expected gain in the chance of ending within 0.50 D of the target.
    """

    action: str
    place: str
    outside_mm: float | None
    gain: float


@dataclass(frozen=True, slots=True)
class _Final:
    """The outcome of one reachable length as it is now."""

    predicted: Predicted
    variance: float


@dataclass(frozen=True, slots=True)
class _Choice:
    """One reachable length: its mean, how a surprise of one SD moves it, the variance left."""

    mean_d: float
    per_sd_d: float
    variance: float

    def after(self, surprise: float) -> Outcome:
        return Outcome(self.mean_d + self.per_sd_d * surprise, math.sqrt(self.variance))


def next_reading(
    view: FinalView,
    plan: FlangePlan,
    readings: Sequence[Reading],
    advice: Advice,
    *,
    target_d: float,
    noise_sd_d: float,
    instrument: str,
) -> NextReading:
    """The most useful next reading with ``instrument``."""
    if not readings:
        return NextReading("read", "anywhere", None, 0.0)
    if abs(advice.reach_d) < LEAST_REACH_D:
        return NextReading("enough", "anywhere", None, 0.0)
    finals = finals_of(view, plan)
    gains = {
        (place, outside): gain_of_reading(
            view, finals, readings, outside,
            target_d=target_d, noise_sd_d=noise_sd_d, instrument=instrument,
        )
        for place, outside in _candidates(plan, readings, advice)
    }
    return _decide(gains, readings, advice)


def _decide(
    gains: dict[tuple[str, float], tuple[float, float]],
    readings: Sequence[Reading],
    advice: Advice,
) -> NextReading:
    fresh = {key: gain for key, gain in gains.items() if not _read_there(readings, key[1])}
    one_placement = len({reading.placement for reading in readings}) < LEAST_PLACEMENTS
    pool = fresh if one_placement and fresh else gains
    if not pool:
        return NextReading("none", "anywhere", None, 0.0)
    # Rounded, so that equal gains keep the order of the places on every machine.
    (place, outside), (_, chance) = max(pool.items(), key=lambda entry: round(entry[1][0], 9))
    if chance >= ENOUGH_CHANCE or (one_placement and fresh):
        return NextReading("read", place, outside, chance)
    advised = ("advised", advice.option.outside_mm)
    if advised in gains and not _same_place(readings[-1].outside_mm, advised[1]):
        return NextReading("read", *advised, gains[advised][1])
    return NextReading("enough", place, outside, chance)


def _candidates(
    plan: FlangePlan, readings: Sequence[Reading], advice: Advice
) -> list[tuple[str, float]]:
    """Ends, middle and the advised length, as far as enough stays outside to read."""
    low, high = reachable_mm(plan)
    low = max(low, LEAST_OUTSIDE_TO_READ_MM + max(plan.removed_mm) + abs(plan.half_difference_mm))
    places = [("pushed_in", low), ("between", (low + high) / 2), ("drawn_out", high)]
    if not advice.no_useful_adjustment:
        places.append(("advised", advice.option.outside_mm))
    return [(place, outside) for place, outside in places if low <= outside <= high]


def _same_place(first_mm: float, second_mm: float) -> bool:
    return abs(first_mm - second_mm) <= SAME_PLACEMENT_MM


def _read_there(readings: Sequence[Reading], outside_mm: float) -> bool:
    return any(_same_place(reading.outside_mm, outside_mm) for reading in readings)


def finals_of(view: FinalView, plan: FlangePlan) -> list[_Final]:
    """Predictions over the reach: the same whatever is read next."""
    low, high = reachable_mm(plan)
    finals = (view.linear(e) for e in grid(low, high, steps=_STEPS))
    return [_Final(one, view.variance_of(one)) for one in finals]


def gain_of_reading(
    view: FinalView,
    finals: Sequence[_Final],
    readings: Sequence[Reading],
    outside_mm: float,
    *,
    target_d: float,
    noise_sd_d: float,
    instrument: str,
) -> tuple[float, float]:
    """Expected gain in squared distance (D squared) and in chance within 0.50 D."""
    choices = _choices(
        view, finals, readings, outside_mm, noise_sd_d=noise_sd_d, instrument=instrument
    )
    outcomes = (Outcome(one.predicted.value_d, view.factor * math.sqrt(one.variance)) for one in finals)
    now = min(outcomes, key=lambda outcome: outcome.squared_error(target_d=target_d))
    later = [(weight, _best(choices, node, target_d)) for node, weight in HERMITE_15]
    return (
        now.squared_error(target_d=target_d)
        - math.fsum(w * part.squared_error(target_d=target_d) for w, part in later),
        math.fsum(w * part.chance_within(WITHIN_D, target_d=target_d) for w, part in later)
        - now.chance_within(WITHIN_D, target_d=target_d),
    )


def _choices(
    view: FinalView,
    finals: Sequence[_Final],
    readings: Sequence[Reading],
    outside_mm: float,
    *,
    noise_sd_d: float,
    instrument: str,
) -> list[_Choice]:
    """Predictions over the reach, as the next reading's surprise would move them."""
    repeat = _same_place(readings[-1].outside_mm, outside_mm)
    row = predict_reading(
        view.eye, view.belief.mean, outside_mm=outside_mm, instrument=instrument, latest=repeat
    )
    spread = times(view.belief.covariance, row.gradient)
    fresh = 0.0 if repeat else DRIFT_SD_D**2 + (row.per_position * SLIP_SD_MM) ** 2
    variance = dot(row.gradient, spread) + noise_sd_d**2 + fresh
    return [_choice(view, one, spread, variance) for one in finals]


def _choice(view: FinalView, final: _Final, spread: Sequence[float], variance: float) -> _Choice:
    covariance = view.factor * dot(final.predicted.gradient, spread)
    left = max(view.factor**2 * final.variance - covariance**2 / variance, 0.0)
    return _Choice(final.predicted.value_d, covariance / math.sqrt(variance), left)


def _best(choices: Sequence[_Choice], surprise: float, target_d: float) -> Outcome:
    """The outcome chosen after a surprise of so many SD."""
    errors = [(one.mean_d + one.per_sd_d * surprise - target_d) ** 2 + one.variance for one in choices]
    return choices[errors.index(min(errors))].after(surprise)
