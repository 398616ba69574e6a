"""The belief about a second lens: what carries over and what does not."""

from __future__ import annotations

import pytest

from pycore.belief.eye import EyeModel
from pycore.belief.priors import INDEX, default_priors
from pycore.belief.readings import Reading, after_readings, prior_belief
from pycore.belief.second_lens import SHARE_SAME_MODEL, for_second_lens

EYE = EyeModel(23.7, 5.4, 42.7, 21.0)
PRIORS = default_priors(axial_method="optical", lens_power_d=21.0)
READINGS = [Reading(e, -1.9, "aberrometer", 0.25, n) for n, e in enumerate((2.5, 1.0, 1.8))]


def test_without_readings_the_second_lens_is_believed_like_the_first() -> None:
    belief = for_second_lens(prior_belief(PRIORS), PRIORS, lens_power_d=21.0, same_model=True)
    assert belief.mean == pytest.approx(prior_belief(PRIORS).mean)
    for row, expected in zip(belief.covariance, prior_belief(PRIORS).covariance, strict=True):
        assert row == pytest.approx(expected)


def test_the_eye_carries_over_and_the_label_does_not() -> None:
    after = after_readings(EYE, prior_belief(PRIORS), READINGS).belief
    second = for_second_lens(after, PRIORS, lens_power_d=21.0, same_model=True)
    for name in ("axial_length_mm", "corneal_power_d", "settle_d", "reading_bias_d:aberrometer"):
        assert second.mean[INDEX[name]] == after.mean[INDEX[name]]
        assert second.sd(INDEX[name]) == pytest.approx(after.sd(INDEX[name]))
    assert second.mean[INDEX["lens_label_d"]] == 0.0
    assert second.sd(INDEX["lens_label_d"]) == pytest.approx(0.2)


def test_seven_tenths_of_the_position_surprise_carry_over() -> None:
    after = after_readings(EYE, prior_belief(PRIORS), READINGS).belief
    second = for_second_lens(after, PRIORS, lens_power_d=21.0, same_model=True)
    at = INDEX["lens_position_mm"]
    assert after.mean[at] < -0.2  # the lens sits forward
    assert second.mean[at] == pytest.approx(SHARE_SAME_MODEL * after.mean[at])
    assert after.sd(at) < second.sd(at) < PRIORS["lens_position_mm"].sd


def test_another_model_carries_over_less() -> None:
    after = after_readings(EYE, prior_belief(PRIORS), READINGS).belief
    at = INDEX["lens_position_mm"]
    same = for_second_lens(after, PRIORS, lens_power_d=19.0, same_model=True)
    other = for_second_lens(after, PRIORS, lens_power_d=19.0, same_model=False)
    assert abs(other.mean[at]) < abs(same.mean[at])
    assert other.sd(at) > same.sd(at)
