"""What the surgeon's eyes determine, each with its interval and how it moved eye by eye.

Refractions settle sums of unknowns only, so each figure is such a sum (a contrast), or optic movement
per mm, the entry and the tunnel effect where eyes were read or held at more than one place. Tests:
``tests/unit/test_own_figures.py``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from pycore.belief.priors import TRAVEL_RATIO, TUNNEL_EFFECT
from pycore.belief.surgeon import History, SurgeonBelief
from pycore.belief.surgeon_next import (
    Interval,
    along_trail,
    contrasts,
    entry_interval,
    entry_settled,
    travel_interval,
    tunnel_interval,
    usual_slope_d_per_mm,
)
from pycore.fields import FIELDS
from pycore.words import say

#: Points of a small chart; more would not be seen.
MOST_POINTS: Final = 60

_WORDS: Final = {
    "final_against_plan": (
        "One month against the plan", "Above zero, your eyes end more hyperopic than planned."),
    "readings_against_plan": (
        "Readings in theatre against the plan",
        ("Above zero, this instrument reads more hyperopic than planned: lens position and its own bias "
        "together.")),
    "final_against_readings": (
        "Table-to-one-month change",
        ("Above zero, eyes are more hyperopic at one month than this instrument read on the table: the "
        "change and its bias together.")),
}
_AS_POSITION: Final = (
    "lens_position", "The same, as lens position",
    ("Above zero, deeper than the formula. If all of it were lens position; a change after surgery looks the "
    "same."))
_TRAVEL: Final = (
    "travel_ratio", "Optic movement per mm of haptic",
    "How far the optic comes forward for each mm drawn out; assumed 0.20 before any eye.")
_ENTRY: Final = (
    "entry_effect", "Entry distance",
    "Above zero, the lens lies deeper for each mm of entry beyond 2.0 mm.")
_TUNNEL: Final = (
    "tunnel_effect", "Tunnel length",
    "How much deeper the lens lies for each mm of tunnel shorter than 2.0 mm; assumed 0.20 before any eye.")
_ENTRY_OPEN: Final = " Its direction is not settled yet: ten eyes at each of two distances are needed."


@dataclass(frozen=True, slots=True)
class _Figure:
    """A figure before it is followed along the trail: value times ``scale`` plus ``offset``."""

    name: str
    label: str
    about: str
    interval: Interval
    weights: Mapping[str, float]
    unit: str = "D"
    signed: bool = True
    instrument: str | None = None
    scale: float = 1.0
    offset: float = 0.0


def figures_value(history: History) -> list[dict[str, Any]]:
    """Every figure; none before the first eye."""
    if not history.trail:
        return []
    steps = _thinned([step.belief for step in history.trail])
    return [_value(figure, steps) for figure in _figures(history)]


def _figures(history: History) -> Iterator[_Figure]:
    slope = usual_slope_d_per_mm(history.lessons)
    for one in contrasts(history):
        label, about = _WORDS[one.name]
        of = FIELDS["instrument"].choices[one.instrument].lower() if one.instrument else ""
        yield _Figure(one.name, say(
            "{label}, {of}",
            label=label, of=of,
        ) if of else label, about, one.interval, one.weights,
                      instrument=one.instrument)
        if one.name == "final_against_plan" and slope:
            name, label, about = _AS_POSITION
            yield _Figure(name, label, about, one.interval, one.weights, "mm", scale=1.0 / slope)
    name, label, about = _TRAVEL
    yield _Figure(name, label, about, travel_interval(history), {"travel_ratio": 1.0}, "mm per mm", False,
                  offset=TRAVEL_RATIO.mean)
    entry = entry_interval(history)
    if entry.eyes:
        name, label, about = _ENTRY
        yield _Figure(name, label, about if entry_settled(history) else about + _ENTRY_OPEN, entry,
                      {"entry_effect": 1.0}, "mm per mm")
    tunnel = tunnel_interval(history)
    if tunnel.eyes:
        name, label, about = _TUNNEL
        yield _Figure(name, label, about, tunnel, {"tunnel_effect": 1.0}, "mm per mm",
                      offset=TUNNEL_EFFECT.mean)


def _value(figure: _Figure, steps: list[SurgeonBelief]) -> dict[str, Any]:
    return {
        "name": figure.name,
        "instrument": figure.instrument,
        "label": figure.label,
        "about": figure.about,
        "unit": figure.unit,
        "signed": figure.signed,
        **_numbers(figure, figure.interval),
        "trail": [_numbers(figure, found) for found in along_trail(steps, figure.weights)],
    }


def _numbers(figure: _Figure, found: Interval) -> dict[str, Any]:
    low, high = (figure.offset + figure.scale * end for end in found.within80)
    mean = figure.offset + figure.scale * found.mean
    return {"eyes": found.eyes, "mean": mean, "low80": low, "high80": high}


def _thinned(steps: list[SurgeonBelief]) -> list[SurgeonBelief]:
    """At most :data:`MOST_POINTS` of them, evenly spaced, the last one always there."""
    if len(steps) <= MOST_POINTS:
        return steps
    last = len(steps) - 1
    return [steps[round(place * last / (MOST_POINTS - 1))] for place in range(MOST_POINTS)]
