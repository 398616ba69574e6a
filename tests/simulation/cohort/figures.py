"""Figures of a played scenario, each with its sampling error."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass

import numpy as np

from tests.simulation.cohort.optics import Array
from tests.simulation.cohort.play import Played

DISTANCES_D = (0.25, 0.50, 1.00)
#: Two-sided 95 %.
_Z = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Share:
    """A share of eyes with its standard error; fractions."""

    value: float
    se: float


@dataclass(frozen=True, slots=True)
class Figures:
    """One policy in one scenario. ``gain`` is paired against flanging at the reference."""

    within_025: Share
    within_050: Share
    within_100: Share
    gain_050: Share
    mean_d: float
    sd_d: float
    coverage: Share | None
    promised_050: float | None
    readings: float | None
    uneven_mm: float


def share(hits: Array) -> Share:
    """Share of ones, binomial standard error."""
    value = float(hits.mean())
    return Share(value, math.sqrt(value * (1 - value) / len(hits)))


def within(played: Played, distance_d: float) -> Array:
    """One where the eye ended within ``distance_d`` of its target."""
    return (np.abs(played.off_d) <= distance_d).astype(float)


def gain(first: Played, second: Played, distance_d: float = 0.50) -> Share:
    """How many more eyes ``first`` brings within ``distance_d``, eye by eye."""
    difference = within(first, distance_d) - within(second, distance_d)
    return Share(float(difference.mean()), float(difference.std(ddof=1)) / math.sqrt(len(difference)))


def wilson(hits: Array) -> tuple[float, float]:
    """95 % interval of a share (Wilson, J Am Stat Assoc 1927;22:209-212)."""
    count, value = len(hits), float(hits.mean())
    centre = value + _Z**2 / (2 * count)
    half = _Z * math.sqrt(value * (1 - value) / count + _Z**2 / (4 * count**2))
    scale = 1 + _Z**2 / count
    return (centre - half) / scale, (centre + half) / scale


def figures(played: Played, reference: Played) -> Figures:
    """Everything that is reported of one policy."""
    shares = [share(within(played, distance)) for distance in DISTANCES_D]
    return Figures(
        *shares,
        gain_050=gain(played, reference),
        mean_d=float(played.off_d.mean()),
        sd_d=float(played.off_d.std(ddof=1)),
        coverage=None if played.covered is None else share(played.covered),
        promised_050=None if played.promised is None else float(played.promised.mean()),
        readings=None if played.readings is None else float(played.readings.mean()),
        uneven_mm=played.uneven_mm,
    )


def as_plain(scenario: dict[str, Played]) -> dict[str, dict[str, object]]:
    """Every policy's figures, and the advice paired against each policy, for JSON."""
    reference, advice = scenario["no_titration"], scenario["advice"]
    return {
        name: {**asdict(figures(played, reference)), "advice_less_this_050": asdict(gain(advice, played))}
        for name, played in scenario.items()
    }
