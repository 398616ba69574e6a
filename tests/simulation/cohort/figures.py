"""Figures of a played scenario, each with its sampling error."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass

import numpy as np

from tests.simulation.cohort.optics import Array
from tests.simulation.cohort.play import Played

DISTANCES_D = (0.25, 0.50, 1.00)


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
    exchanged: float | None


def share(hits: Array) -> Share:
    """Mean over eyes of each eye's share of futures, with its standard error."""
    return Share(float(hits.mean()), float(hits.std(ddof=1)) / math.sqrt(len(hits)))


def within(played: Played, distance_d: float) -> Array:
    """Each eye's share of futures within ``distance_d`` of its target."""
    return np.asarray((np.abs(played.off_d) <= distance_d).mean(axis=1))


def gain(first: Played, second: Played, distance_d: float = 0.50) -> Share:
    """How many more eyes ``first`` brings within ``distance_d``, eye by eye."""
    difference = within(first, distance_d) - within(second, distance_d)
    return share(difference)


def figures(played: Played, reference: Played) -> Figures:
    """Everything that is reported of one policy."""
    shares = [share(within(played, distance)) for distance in DISTANCES_D]
    return Figures(
        *shares,
        gain_050=gain(played, reference),
        mean_d=float(played.off_d.mean()),
        sd_d=float(played.off_d.std()),
        coverage=None if played.covered is None else share(played.covered),
        promised_050=None if played.promised is None else float(played.promised.mean()),
        readings=None if played.readings is None else float(played.readings.mean()),
        uneven_mm=played.uneven_mm,
        exchanged=played.exchanged,
    )


def as_plain(scenario: dict[str, Played]) -> dict[str, dict[str, object]]:
    """Every policy's figures, and the advice paired against each policy, for JSON."""
    reference, advice = scenario["no_titration"], scenario["advice"]
    return {
        name: {**asdict(figures(played, reference)), "advice_less_this_050": asdict(gain(advice, played))}
        for name, played in scenario.items()
    }
