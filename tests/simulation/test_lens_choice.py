"""The chance after titration, against playing the titration out many times.

The simulation draws eyes and three readings from the same beliefs with numpy, solves each
eye's linear update directly, chooses the length and counts. It is consistency, not proof:
both sides share the model, but not the arithmetic.
"""

from __future__ import annotations

import numpy as np
import pytest

from pycore.belief.eye import EyeModel
from pycore.belief.priors import default_priors
from pycore.fixation.haptic import FlangePlan
from pycore.planning.lens_choice import budget, outlook

TARGET_D = -0.5
PLAN = FlangePlan(drawn_out_mm=2.5)
DRAWS = 40_000
GRID = np.linspace(0.7, 2.5, 91)

EYES = {
    "ordinary, on target": EyeModel(23.7, 5.4, 42.7, 21.0),
    "ordinary, lens half a dioptre strong": EyeModel(23.7, 5.4, 42.7, 21.5),
    "ordinary, lens a dioptre and a half strong": EyeModel(23.7, 5.4, 42.7, 23.0),
    "short": EyeModel(21.4, 5.0, 43.0, 30.0),
    "long": EyeModel(27.2, 5.8, 42.0, 9.0),
}


def refraction(length, cornea, position, power):
    """Thin-lens refraction at 12 mm, from the textbook vergences."""
    before = 1336.0 / (length - position) - power
    at_cornea = 1336.0 / (1336.0 / before + position) - cornea
    return at_cornea / (1.0 + 0.012 * at_cornea)


def simulate(eye: EyeModel) -> float:
    """Share within 0.50 D after reading drawn out, pushed in and half way, and cutting."""
    rng = np.random.default_rng(20261125)
    names = ("axial_length_mm", "corneal_power_d", "lens_position_mm", "travel_ratio", "lens_label_d")
    priors = default_priors(axial_method="optical", lens_power_d=eye.lens_power_d)
    mean = np.array([priors[name].mean for name in (*names, "reading_bias_d", "settle_d")])
    sd = np.array([priors[name].sd for name in (*names, "reading_bias_d", "settle_d")])
    true = mean + sd * rng.standard_normal((DRAWS, len(mean)))
    true[:, 3] = np.abs(true[:, 3])

    def value(x, e, slip=0.0):
        position = eye.lens_position_mm + x[..., 2] + slip - x[..., 3] * (e - 2.0)
        return refraction(
            eye.axial_length_mm + x[..., 0], eye.corneal_power_d + x[..., 1], position,
            eye.lens_power_d + x[..., 4],
        )  # fmt: skip

    def slope(e):
        steps = 1e-5 * np.eye(len(mean))[:5]
        gradient = [(value(mean + s, e) - value(mean - s, e)) / 2e-5 for s in steps]
        return np.array([*gradient, 0.0, 0.0])

    lengths = (2.5, 0.7, 1.6)
    per_mm = slope(1.6)[2]
    rows = np.array([slope(e) + np.eye(len(mean))[5] for e in lengths])
    noise = 0.25**2 + 0.10**2 + (per_mm * 0.08) ** 2
    read = np.stack(
        [value(true, e, 0.08 * rng.standard_normal(DRAWS)) + true[:, 5]
         + np.hypot(0.25, 0.10) * rng.standard_normal(DRAWS) for e in lengths], axis=1,
    )  # fmt: skip
    expected = np.array([value(mean, e) for e in lengths])
    prior = np.diag(sd**2)
    gain = prior @ rows.T @ np.linalg.inv(rows @ prior @ rows.T + noise * np.eye(3))
    after = mean + (read - expected) @ gain.T
    final = np.stack([value(after, e) for e in GRID], axis=1) + after[:, 6:7]
    chosen = GRID[np.argmin(np.abs(final - TARGET_D), axis=1)]
    carried = chosen + 0.25 / np.sqrt(2) * rng.standard_normal(DRAWS)
    ended = value(true, carried, 0.08 * rng.standard_normal(DRAWS)) + true[:, 6]
    return float(np.mean(np.abs(ended - TARGET_D) <= 0.5))


@pytest.mark.parametrize("name", EYES)
def test_chance_after_titration_agrees_with_playing_it_out(name: str) -> None:
    """Within 1.5 points; the simulation's own standard error is a quarter of a point."""
    eye = EYES[name]
    priors = default_priors(axial_method="optical", lens_power_d=eye.lens_power_d)
    found = outlook(eye, priors, FlangePlan(drawn_out_mm=2.5), target_d=TARGET_D)
    assert found.titrated_within_050 == pytest.approx(simulate(eye), abs=0.015)


def test_lens_position_dominates_the_interval_of_an_ordinary_eye() -> None:
    """As in routine eyes (Norrby, J Cataract Refract Surg 2008;34:368-376), and more so."""
    eye = EYES["ordinary, on target"]
    shares = budget(eye, default_priors(axial_method="optical", lens_power_d=21.0))
    assert shares[0].name == "lens_position_mm" and shares[0].share > 0.35


def test_contact_ultrasound_widens_the_interval() -> None:
    eye = EYES["ordinary, on target"]
    plan = FlangePlan(drawn_out_mm=2.5)
    by = {
        method: outlook(
            eye, default_priors(axial_method=method, lens_power_d=21.0), plan, target_d=TARGET_D
        ).plan
        for method in ("optical", "immersion", "contact")
    }
    assert by["optical"].sd_d < by["immersion"].sd_d < by["contact"].sd_d
    assert by["contact"].mean_d < by["optical"].mean_d - 0.3  # the eye is longer than it read


@pytest.mark.parametrize(("power_d", "length_mm"), [(21.0, 23.7), (-8.0, 36.0)])
def test_a_target_between_the_ends_is_worth_more_than_either_end(power_d: float, length_mm: float) -> None:
    """Drawn out is the more myopic end of a plus lens and the more hyperopic end of a minus lens.

    With the target half way the haptics take up what the readings tell on both sides; taken the
    wrong way round they would take up nothing, and the chance would be that without readings.
    """
    eye = EyeModel(length_mm, 5.4, 42.7, power_d)
    priors = default_priors(axial_method="optical", lens_power_d=power_d)
    first = outlook(eye, priors, PLAN, target_d=TARGET_D)
    middle = sum(option.final.mean_d for option in first.reach) / 2
    found = outlook(eye, priors, PLAN, target_d=middle)
    untitrated = found.plan.chance_within(0.50, target_d=middle)
    assert found.titrated_within_050 > untitrated + 0.005
