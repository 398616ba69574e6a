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
        exchanged=None if played.exchanged is None else float(played.exchanged.mean()),
    )


@dataclass(frozen=True, slots=True)
class Exchanged:
    """What another lens did, against the same eyes left with the first lens as titrated.

    ``share`` is of all eyes; the rest is of the exchanged eyes: ``needless`` would have ended
    within 0.50 D anyway, ``worse`` ended further from target (``much_worse``: by more than
    0.25 D), ``gain_050`` is how many more ended within 0.50 D.
    """

    share: Share
    needless: Share
    worse: Share
    much_worse: Share
    gain_050: Share


def another_lens_did(exchange: Played, kept: Played) -> Exchanged | None:
    """Paired on eyes and futures; ``None`` where fewer than two eyes were exchanged."""
    chosen = exchange.exchanged
    if chosen is None or chosen.sum() < 2:
        return None
    further = np.abs(exchange.off_d) - np.abs(kept.off_d)
    return Exchanged(
        share=share(chosen.astype(float)),
        needless=share(within(kept, 0.50)[chosen]),
        worse=share((further[chosen] > 0.0).mean(axis=1)),
        much_worse=share((further[chosen] > 0.25).mean(axis=1)),
        gain_050=share((within(exchange, 0.50) - within(kept, 0.50))[chosen]),
    )


def as_plain(scenario: dict[str, Played]) -> dict[str, dict[str, object]]:
    """Every policy's figures, and the advice paired against each policy, for JSON."""
    reference, advice = scenario["no_titration"], scenario["advice"]

    def plain(played: Played) -> dict[str, object]:
        did = another_lens_did(played, advice)
        return {**asdict(figures(played, reference)), "advice_less_this_050": asdict(gain(advice, played)),
                **({"another_lens": asdict(did)} if did else {})}

    return {name: plain(played) for name, played in scenario.items()}
