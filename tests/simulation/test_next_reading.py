"""What one more reading is worth, by playing it out a few hundred thousand times.

Eyes are drawn from the belief, the next reading is taken in each, eyes with nearly the same
reading are put together, and each such group gets the length that is best for it. No
conditioning formula is used, only counting; agreement is consistency, not proof.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest

from pycore.belief.eye import EyeModel
from pycore.belief.outcome import FinalView
from pycore.belief.priors import INDEX, READING_NOISE_SD_D, default_priors
from pycore.belief.readings import Reading, after_readings, prior_belief
from pycore.fixation.haptic import FlangePlan, reachable_mm
from pycore.planning.next_reading import NextReading, finals_of, gain_of_reading, next_reading
from pycore.planning.titration import Advice, advise_both_free
from tests.simulation.importance import (
    DRIFT_SD_D,
    EXECUTION_SD_MM,
    SLIP_SD_MM,
    Array,
    spectacle_refraction_d,
)

EYE = EyeModel(23.7, 5.3, 44.0, 20.5)
COUNT, GROUPS = 300_000, 100
PLAN = FlangePlan(drawn_out_mm=2.8)


@dataclass(frozen=True, slots=True)
class Played:
    """Gain in squared distance (D squared) and in chance within 0.50 D."""

    squared: float
    chance: float


def view_after(*readings: tuple[float, float], instrument: str = "aberrometer") -> FinalView:
    taken = _taken(readings, instrument)
    prior = prior_belief(default_priors(axial_method="optical", lens_power_d=20.5))
    return FinalView.of(EYE, after_readings(EYE, prior, taken).belief)


def _taken(readings: tuple[tuple[float, float], ...], instrument: str) -> list[Reading]:
    noise = READING_NOISE_SD_D[instrument]
    return [Reading(e, y, instrument, noise, place) for place, (e, y) in enumerate(readings)]


def _refraction(draws: Array, outside_mm: Array | float, slip_mm: Array) -> Array:
    position = (EYE.lens_position_mm + draws[:, INDEX["lens_position_mm"]] + slip_mm
                - draws[:, INDEX["travel_ratio"]] * (outside_mm - 2.0))
    return spectacle_refraction_d(
        EYE.axial_length_mm + draws[:, INDEX["axial_length_mm"]], position,
        EYE.corneal_power_d + draws[:, INDEX["corneal_power_d"]],
        EYE.lens_power_d + draws[:, INDEX["lens_label_d"]],
    )


def play(view: FinalView, outside_mm: float, *, target_d: float, instrument: str, repeat: bool) -> Played:
    """Draw eyes, read each once more at ``outside_mm``, choose the best length per group."""
    rng = np.random.default_rng(11)
    draws = rng.multivariate_normal(view.belief.mean, view.belief.covariance, size=COUNT)
    slip = draws[:, INDEX["slip_mm"]] if repeat else SLIP_SD_MM * rng.standard_normal(COUNT)
    drift = draws[:, INDEX["drift_d"]] if repeat else DRIFT_SD_D * rng.standard_normal(COUNT)
    seen = (_refraction(draws, outside_mm, slip) + draws[:, INDEX[f"reading_bias_d:{instrument}"]] + drift
            + READING_NOISE_SD_D[instrument] * rng.standard_normal(COUNT))
    groups = np.array_split(np.argsort(seen), GROUPS)
    low, high = reachable_mm(PLAN)
    distances = np.array([_distance(rng, draws, e, target_d) for e in np.linspace(low, high, 17)])
    return _gain(distances, groups)


def _distance(rng: np.random.Generator, draws: Array, outside_mm: float, target_d: float) -> Array:
    execution = EXECUTION_SD_MM * rng.standard_normal((COUNT, 2)).mean(axis=1)
    refraction = _refraction(draws, outside_mm + execution, SLIP_SD_MM * rng.standard_normal(COUNT))
    return np.asarray(np.abs(refraction + draws[:, INDEX["settle_d"]] - target_d))


def _gain(distances: Array, groups: list[Array]) -> Played:
    now = int(np.argmin((distances**2).mean(axis=1)))
    squared, chance = 0.0, 0.0
    for group in groups:
        inside = distances[:, group]
        best = int(np.argmin((inside**2).mean(axis=1)))
        squared += float((inside[now] ** 2).mean() - (inside[best] ** 2).mean()) / GROUPS
        chance += float((inside[best] <= 0.5).mean() - (inside[now] <= 0.5).mean()) / GROUPS
    return Played(squared, chance)


SCENES = {
    "one reading, then the other end": (((2.7, -0.55),), 1.0, -0.5, "aberrometer"),
    "one reading, then the middle": (((2.7, -0.55),), 1.9, -0.5, "aberrometer"),
    "one reading, repeated": (((2.7, -0.55),), 2.7, -0.5, "aberrometer"),
    "two readings, a third": (((2.7, -0.55), (1.1, -0.2)), 1.9, -0.5, "aberrometer"),
    "retinoscope": (((2.5, -0.2), (1.1, 0.3)), 1.8, -0.5, "retinoscope"),
    "out of reach": (((2.7, 0.3), (1.1, 0.7)), 1.9, -1.0, "aberrometer"),
    "too myopic": (((2.7, -1.6),), 1.1, 0.0, "aberrometer"),
}


@pytest.mark.parametrize("name", SCENES)
def test_gain_is_what_playing_it_out_gives(name: str) -> None:
    readings, outside_mm, target_d, instrument = SCENES[name]
    view = view_after(*readings, instrument=instrument)
    squared, chance = gain_of_reading(
        view, finals_of(view, PLAN), _taken(readings, instrument), outside_mm,
        target_d=target_d, noise_sd_d=READING_NOISE_SD_D[instrument], instrument=instrument,
    )
    played = play(view, outside_mm, target_d=target_d, instrument=instrument,
                  repeat=abs(readings[-1][0] - outside_mm) < 0.25)
    assert squared == pytest.approx(played.squared, abs=0.004)
    assert chance == pytest.approx(played.chance, abs=0.012)


@pytest.mark.parametrize("name", SCENES)
def test_one_more_reading_never_costs(name: str) -> None:
    """In expected squared distance, because the present length stays among the choices."""
    readings, outside_mm, target_d, instrument = SCENES[name]
    view = view_after(*readings, instrument=instrument)
    squared, _ = gain_of_reading(
        view, finals_of(view, PLAN), _taken(readings, instrument), outside_mm,
        target_d=target_d, noise_sd_d=READING_NOISE_SD_D[instrument], instrument=instrument,
    )
    assert squared >= -1e-12


def advised(readings: tuple[tuple[float, float], ...], *, plan: FlangePlan = PLAN, noise_sd_d: float = 0.25,
            target_d: float = -0.5, eye: EyeModel = EYE) -> tuple[NextReading, Advice]:
    """The next reading and the advice after readings at placements of their own."""
    taken = _taken(readings, "aberrometer")
    prior = prior_belief(default_priors(axial_method="optical", lens_power_d=eye.lens_power_d))
    view = FinalView.of(eye, after_readings(eye, prior, taken).belief)
    advice = advise_both_free(view, plan, target_d=target_d)
    following = next_reading(view, plan, taken, advice, target_d=target_d, noise_sd_d=noise_sd_d,
                             instrument="aberrometer")
    return following, advice


def test_the_first_reading_is_anywhere() -> None:
    following, _ = advised(())
    assert (following.action, following.place, following.outside_mm) == ("read", "anywhere", None)


@pytest.mark.parametrize("first", [(2.7, -0.55), (1.1, 0.9), (2.0, -3.0)])
def test_a_second_placement_is_always_asked_for(first: tuple[float, float]) -> None:
    following, _ = advised((first,))
    assert following.action == "read"
    assert following.outside_mm is not None
    assert abs(following.outside_mm - first[0]) > 0.25


def test_reading_ends_and_the_last_is_at_the_advised_length() -> None:
    """Play the surgeon who reads where told and always reads what is expected."""
    readings: tuple[tuple[float, float], ...] = ((2.7, -0.60),)
    for _ in range(24):
        following, advice = advised(readings)
        if following.action != "read":
            break
        assert following.outside_mm is not None
        expected = -0.60 + 0.28 * (2.7 - following.outside_mm)
        readings = (*readings, (following.outside_mm, expected))
    assert following.action == "enough"
    assert 3 <= len(readings) <= 12
    assert not advice.no_useful_adjustment
    assert abs(readings[-1][0] - advice.option.outside_mm) <= 0.25 or following.gain < 0.005


def test_never_with_less_than_1_mm_outside_nor_past_taut() -> None:
    for removed in (0.0, 0.5, 1.0):
        plan = FlangePlan(drawn_out_mm=2.8, removed_mm=(removed, removed))
        for reading in ((2.7, -0.55), (2.0, 0.8), (2.5, -2.0)):
            following, _ = advised((reading,), plan=plan)
            assert following.outside_mm is not None
            assert 1.0 + removed <= following.outside_mm <= 2.8


def test_no_place_left_to_read() -> None:
    """So much was removed that nothing is left to hold the lens by while reading."""
    plan = FlangePlan(drawn_out_mm=1.9, melt_mm=0.2, removed_mm=(1.0, 1.0))
    following, advice = advised(((1.5, 0.2),), plan=plan, eye=EyeModel(21.0, 4.6, 44.5, 29.0))
    assert advice.reach_d < -0.25
    assert following.action == "none"


def test_a_weak_lens_is_read_once() -> None:
    following, advice = advised(((2.0, 0.0),), eye=EyeModel(28.5, 5.8, 43.0, 5.0))
    assert abs(advice.reach_d) < 0.25
    assert following.action == "enough"


def test_a_noisier_instrument_gains_less() -> None:
    view, readings = view_after((2.7, -0.55)), _taken(((2.7, -0.55),), "aberrometer")
    gains = [
        gain_of_reading(view, finals_of(view, PLAN), readings, 1.1, target_d=-0.5, noise_sd_d=noise,
                        instrument="aberrometer")
        for noise in (0.1, 0.25, 0.45, 1.0, 5.0)
    ]
    squared = [gain for gain, _ in gains]
    assert all(after < before for before, after in pairwise(squared))
    assert squared[-1] < 1e-3
