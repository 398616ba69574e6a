"""What the surgeon's history says about the next eye, and about themselves.

Refractions alone cannot tell a deep lens from a hyperopic change after surgery: only their
sum shows. So single unknowns are used to predict, all together with their correlations, and
what is reported are the contrasts that refractions do determine. Tests:
``tests/unit/test_surgeon_learn.py``, ``tests/limits/test_surgeon.py``.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from pycore.belief.eye import REFERENCE_ENTRY_MM, REFERENCE_TUNNEL_MM
from pycore.belief.linear import dot, times
from pycore.belief.normal import CENTRAL_80, CENTRAL_95
from pycore.belief.priors import INSTRUMENTS, Prior
from pycore.belief.surgeon import History, SurgeonBelief
from pycore.belief.surgeon_eye import Lesson
from pycore.belief.surgeon_split import BIASES, FLANGED, POSITION, between_variance

#: Refraction per mm that the lens lies deeper, at 23.5 mm and 20 D (thin-lens optics).
USUAL_SLOPE_D_PER_MM: Final = 1.3
#: Entries this close are one distance; so many eyes at each of two settle the sign (our
#: judgement).
SAME_ENTRY_MM: Final = 0.25
LEAST_EYES_EACH: Final = 10


@dataclass(frozen=True, slots=True)
class Interval:
    """A quantity of the surgeon's with its central intervals, and the eyes behind it."""

    mean: float
    sd: float
    eyes: int

    @property
    def within80(self) -> tuple[float, float]:
        return self.mean - CENTRAL_80 * self.sd, self.mean + CENTRAL_80 * self.sd

    @property
    def within95(self) -> tuple[float, float]:
        return self.mean - CENTRAL_95 * self.sd, self.mean + CENTRAL_95 * self.sd


@dataclass(frozen=True, slots=True)
class Contrast:
    """One contrast in dioptres; positive is more hyperopic. ``instrument`` where one matters."""

    name: str
    instrument: str | None
    interval: Interval
    weights: Mapping[str, float]


def next_priors(
    surgeon: SurgeonBelief, defaults: Mapping[str, Prior], *, style: str = FLANGED
) -> dict[str, Prior]:
    """Beliefs for the next eye: own means added, own spreads replaced, correlations kept.

    The defaults themselves, digit for digit, when nothing was learned.
    """
    if surgeon.eyes == 0:
        return dict(defaults)
    own = {_unknown(name, style): place for place, name in enumerate(surgeon.names)}
    own.pop("", None)
    return {**defaults, **{name: _learned(surgeon, defaults, own, name) for name in own}}


def _unknown(own_name: str, style: str) -> str:
    """The unknown that an own mean belongs to; empty for another style's position."""
    if not own_name.startswith(POSITION):
        return own_name
    return POSITION if own_name == f"{POSITION}:{style}" else ""


def _learned(
    surgeon: SurgeonBelief, defaults: Mapping[str, Prior], own: Mapping[str, int], name: str
) -> Prior:
    place = own[name]
    default = defaults[name.partition(":")[0]]
    row = surgeon.own.covariance[place]
    return Prior(
        mean=default.mean + surgeon.own.mean[place],
        sd=math.sqrt(between_variance(name, default) + row[place]),
        shared=tuple((other, row[at]) for other, at in own.items() if other != name and row[at]),
    )


def own_sd(surgeon: SurgeonBelief, gradient: Mapping[str, float], *, style: str = FLANGED) -> float:
    """SD that the surgeon's own means, still unsure, leave along ``gradient`` over the unknowns."""
    weights = {name: gradient.get(_unknown(name, style), 0.0) for name in surgeon.names}
    return _interval(surgeon, weights, surgeon.eyes).sd


def usual_slope_d_per_mm(lessons: Sequence[Lesson]) -> float:
    """Refraction per mm of lens position over this surgeon's eyes, for the contrasts."""
    if not lessons:
        return USUAL_SLOPE_D_PER_MM
    return math.fsum(one.positions[-1] for one in lessons) / len(lessons)


def contrasts(history: History, *, style: str = FLANGED) -> tuple[Contrast, ...]:
    """Readings against plan, final against readings, final against plan, each as a mean.

    At the reference state, for the slope of this surgeon's usual eye.
    """
    slope = usual_slope_d_per_mm(history.lessons)
    position = {f"{POSITION}:{style}": slope}
    settle = {"settle_d": 1.0}
    against_plan = {**position, **settle}
    found = [_contrast(history, "final_against_plan", None, against_plan)]
    for bias, instrument in zip(BIASES, INSTRUMENTS, strict=True):
        if history.readings[instrument]:
            read, later = {**position, bias: 1.0}, {**settle, bias: -1.0}
            found.append(_contrast(history, "readings_against_plan", instrument, read))
            found.append(_contrast(history, "final_against_readings", instrument, later))
    return tuple(found)


def _contrast(
    history: History, name: str, instrument: str | None, weights: Mapping[str, float]
) -> Contrast:
    return Contrast(name, instrument, _along(history, weights, instrument), dict(weights))


def final_against_plan(
    surgeon: SurgeonBelief, slope_d_per_mm: float, *, style: str = FLANGED
) -> Interval:
    """Final less planned refraction for an eye of this slope; positive is more hyperopic."""
    weights = {f"{POSITION}:{style}": slope_d_per_mm, "settle_d": 1.0}
    return _interval(surgeon, weights, surgeon.eyes)


def travel_interval(history: History) -> Interval:
    """Optic movement per mm of haptic, the surgeon's own deviation from the default."""
    two = sum(1 for one in history.lessons if _moved(one))
    return _interval(history.belief, {"travel_ratio": 1.0}, two)


def _moved(one: Lesson) -> bool:
    """Whether the haptics lay at more than one place while this eye was read or left."""
    slopes = [row[0] / place for row, place in zip(one.rows, one.positions, strict=True) if place]
    return bool(slopes) and max(slopes) - min(slopes) > SAME_ENTRY_MM


def entry_interval(history: History) -> Interval:
    """Entry effect, mm deeper per mm of entry beyond 2.0, with the eyes away from 2.0."""
    away = sum(1 for one in history.lessons if abs(one.entry_mm - REFERENCE_ENTRY_MM) > SAME_ENTRY_MM)
    return _interval(history.belief, {"entry_effect": 1.0}, away)


def tunnel_interval(history: History) -> Interval:
    """Tunnel effect, the own deviation from the default, with the eyes away from 2.0 mm."""
    away = sum(1 for one in history.lessons if abs(one.tunnel_mm - REFERENCE_TUNNEL_MM) > SAME_ENTRY_MM)
    return _interval(history.belief, {"tunnel_effect": 1.0}, away)


def entry_settled(history: History) -> bool:
    """Whether the sign of the entry effect is sure: 95 %, ten eyes at each of two distances."""
    return bool(settled_entries_mm(history))


def settled_entries_mm(history: History) -> tuple[float, ...]:
    """Distances with ten eyes each, to the half millimetre, when they settle the sign; else none."""
    counts = Counter(round(one.entry_mm * 2) / 2 for one in history.lessons)
    known = tuple(sorted(entry for entry, count in counts.items() if count >= LEAST_EYES_EACH))
    low, high = entry_interval(history).within95
    return known if len(known) >= 2 and (low > 0.0 or high < 0.0) else ()


def surgeon_now(history: History) -> SurgeonBelief:
    """The belief after all eyes, with the entry distances that these settle."""
    return replace(history.belief, settled_entries_mm=settled_entries_mm(history))


def along_trail(
    steps: Sequence[SurgeonBelief], weights: Mapping[str, float]
) -> list[Interval]:
    """The same quantity as it stood after each of ``steps``."""
    return [_interval(step, weights, step.eyes) for step in steps]


def _along(history: History, weights: Mapping[str, float], instrument: str | None) -> Interval:
    """With the eyes that were read with ``instrument``; the follow-up is nobody's reading."""
    eyes = sum(1 for one in history.lessons if instrument in one.instruments)
    return _interval(history.belief, weights, eyes)


def _interval(surgeon: SurgeonBelief, weights: Mapping[str, float], eyes: int) -> Interval:
    gradient = [weights.get(name, 0.0) for name in surgeon.names]
    variance = dot(gradient, times(surgeon.own.covariance, gradient))
    return Interval(dot(gradient, surgeon.own.mean), math.sqrt(max(variance, 0.0)), eyes)
