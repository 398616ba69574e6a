"""What readings must and must not do to the belief, whatever the eye."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest

from pycore.belief.eye import EyeModel
from pycore.belief.outcome import FinalView
from pycore.belief.priors import INDEX, TRAVEL, default_priors
from pycore.belief.readings import Reading, after_readings, prior_belief
from pycore.errors import OpticsError

EYE = EyeModel(23.7, 5.3, 44.0, 21.0)
PRIOR = prior_belief(default_priors(axial_method="optical", lens_power_d=21.0))


def reading(outside_mm: float, refraction_d: float, placement: int = 0, **changes: object) -> Reading:
    plain = Reading(outside_mm, refraction_d, "aberrometer", 0.25, placement)
    return replace(plain, **changes)  # type: ignore[arg-type]


def final_sd(readings: list[Reading], outside_mm: float = 1.7) -> float:
    return FinalView.of(EYE, after_readings(EYE, PRIOR, readings).belief).at(outside_mm).sd_d


def expected_at(outside_mm: float) -> float:
    return FinalView.of(EYE, PRIOR).at(outside_mm).mean_d


def test_nothing_read_leaves_the_prior() -> None:
    after = after_readings(EYE, PRIOR, [])
    assert after.belief == PRIOR
    assert after.gross == ()


def test_the_order_of_readings_hardly_matters() -> None:
    """Only the latest placement is kept in the state; the rest must not depend on order."""
    readings = [reading(2.5, -0.9, 0), reading(2.5, -0.8, 0), reading(1.2, -0.4, 1), reading(1.8, -0.75, 2)]
    finals = []
    for order in permutations(readings):
        view = FinalView.of(EYE, after_readings(EYE, PRIOR, list(order)).belief)
        finals.append((view.at(1.5).mean_d, view.at(1.5).sd_d, view.belief.mean[TRAVEL]))
    spread = np.ptp(np.array(finals), axis=0)
    assert spread.max() < 2e-4


def test_chances_of_being_gross_follow_the_readings() -> None:
    readings = [reading(2.5, -0.9, 0), reading(1.2, 1.6, 1), reading(1.8, -0.75, 2)]
    turned = [readings[2], readings[0], readings[1]]
    chances = after_readings(EYE, PRIOR, readings).gross
    again = after_readings(EYE, PRIOR, turned).gross
    assert again == pytest.approx((chances[2], chances[0], chances[1]), abs=1e-3)
    assert chances[1] == max(chances)


def test_a_repeat_at_one_placement_helps_less_than_a_new_placement_at_the_same_length() -> None:
    """Slip and drift are shared by repeats; a fresh placement draws new ones."""
    once = [reading(2.0, expected_at(2.0), 0)]
    again = [*once, reading(2.0, expected_at(2.0), 0)]
    moved = [*once, reading(2.0, expected_at(2.0), 1)]
    assert final_sd(moved) < final_sd(again) < final_sd(once)


def test_many_repeats_cannot_beat_slip_drift_and_bias() -> None:
    """The floor of one placement: even without noise its slip, drift and bias remain."""
    many = [reading(2.0, expected_at(2.0), 0, noise_sd_d=0.02) for _ in range(6)]
    assert final_sd(many) > np.hypot(0.10, np.hypot(0.20, 0.25))


@pytest.mark.parametrize("count", [1, 3])
def test_huge_noise_leaves_the_prior(count: int) -> None:
    deaf = [reading(1.0 + step, -3.0, step, noise_sd_d=1e5) for step in range(count)]
    after = after_readings(EYE, PRIOR, deaf)
    assert after.belief.mean == pytest.approx(PRIOR.mean, abs=1e-6)
    for index in range(len(PRIOR.mean)):
        assert after.belief.sd(index) == pytest.approx(PRIOR.sd(index), abs=1e-6)


def test_huge_noise_of_a_gross_reading_leaves_its_chance() -> None:
    after = after_readings(EYE, PRIOR, [reading(1.5, 0.0, noise_sd_d=1e5)])
    assert after.gross[0] == pytest.approx(0.03, abs=1e-6)


def test_readings_as_expected_sharpen_and_do_not_move() -> None:
    readings = [reading(e, expected_at(e), place) for place, e in enumerate((2.5, 1.0))]
    view = FinalView.of(EYE, after_readings(EYE, PRIOR, readings).belief)
    assert view.at(2.0).mean_d == pytest.approx(expected_at(2.0), abs=0.02)
    assert view.at(2.0).sd_d < FinalView.of(EYE, PRIOR).at(2.0).sd_d


def test_a_more_myopic_reading_never_makes_the_prediction_more_hyperopic() -> None:
    """As long as the reading is believed; one that is far off may be gross and pulls less."""
    centre = expected_at(2.0)
    means = [
        FinalView.of(EYE, after_readings(EYE, PRIOR, [reading(2.0, y)]).belief).at(1.5).mean_d
        for y in np.linspace(centre - 0.9, centre + 0.9, 13)
    ]
    steps = np.diff(means)
    assert (steps > 0).all()
    assert (steps < 0.15).all()  # each step reads 0.15 D more


def test_a_steeper_pair_teaches_more_movement_per_mm() -> None:
    ratios = [
        FinalView.of(EYE, after_readings(
            EYE, PRIOR, [reading(2.5, -0.5 - gap / 2, 0), reading(1.0, -0.5 + gap / 2, 1)]
        ).belief).belief.mean[TRAVEL]
        for gap in (-0.4, 0.0, 0.4, 0.8)
    ]
    assert ratios == sorted(ratios)
    assert ratios[0] > 0.0


def test_an_instruments_bias_is_its_own() -> None:
    after = after_readings(EYE, PRIOR, [reading(2.0, -1.5)]).belief
    assert after.mean[INDEX["reading_bias_d:aberrometer"]] < 0.0
    assert after.mean[INDEX["reading_bias_d:retinoscope"]] == pytest.approx(0.0, abs=1e-12)


def test_slip_and_drift_of_the_latest_placement_only() -> None:
    """The final keeps a slip only when nothing moved; it is then better known."""
    readings = [reading(1.7, expected_at(1.7), 0)]
    belief = after_readings(EYE, PRIOR, readings).belief
    moved, unmoved = FinalView.of(EYE, belief), FinalView.of(EYE, belief, unmoved=True)
    assert unmoved.at(1.7).sd_d < moved.at(1.7).sd_d


def test_covariances_stay_symmetric_and_positive() -> None:
    readings = [reading(2.5, -0.9, 0), reading(2.4, -0.7, 0), reading(1.2, 0.8, 1), reading(1.9, -0.2, 2)]
    covariance = np.array(after_readings(EYE, PRIOR, readings).belief.covariance)
    assert np.allclose(covariance, covariance.T, atol=1e-14)
    assert np.linalg.eigvalsh(covariance).min() > -1e-12


def test_a_measured_repeat_beside_a_named_end_stays_a_covariance() -> None:
    """Almost noiseless readings at one placement, one measured and one at a named end."""
    readings = [reading(2.5, -0.5, noise_sd_d=0.01),
                reading(2.5, -0.6, noise_sd_d=0.01, length_sd_mm=0.4)]
    for order in (readings, readings[::-1]):
        assert np.isfinite(after_readings(EYE, PRIOR, order).belief.mean).all()


def test_a_named_end_counts_less_than_a_measured_length() -> None:
    measured = [reading(2.5, -0.9, 0), reading(1.0, -0.4, 1)]
    named = [replace(part, length_sd_mm=0.4) for part in measured]
    assert final_sd(named) > final_sd(measured)


@pytest.mark.parametrize("mistyped_d", [-40.0, -20.0, 20.0, 40.0])
def test_a_reading_mistyped_by_tens_of_dioptres_is_called_gross(mistyped_d: float) -> None:
    """No eye has such a refraction; the hypothesis that it is gross must still be solved."""
    readings = [reading(2.5, -0.5, 0), reading(1.2, -0.1, 1), reading(1.8, mistyped_d, 2)]
    assert after_readings(EYE, PRIOR, readings).gross[2] > 0.999


def test_readings_no_eye_could_give_are_refused_by_name() -> None:
    impossible = [reading(2.0, 900.0, place) for place in range(3)]
    with pytest.raises(OpticsError) as caught:
        after_readings(EYE, PRIOR, impossible)
    assert caught.value.field == "readings"
