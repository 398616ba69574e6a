"""Corrections of measurements: there and back, and nothing where nothing is to correct."""

from __future__ import annotations

import math

import pytest

from pycore.belief.priors import ALTERED_CORNEA_SD_D
from pycore.errors import GuylineError, Inconsistent, OutOfRange
from pycore.optics.retinoscopy import gross_sphere_d, net_sphere_d
from pycore.planning.measurements.axial_length import (
    Echo,
    at_velocity_mm,
    from_segments_mm,
    phakic_from_1532_mm,
    whole_eye_step,
)
from pycore.planning.measurements.cornea import (
    after_laser_belief,
    after_laser_d,
    from_other_index_d,
    keratometric_from_total_d,
    total_power_d,
)
from pycore.planning.measurements.population import (
    CORNEA_SD_D,
    cornea_from_length,
    from_fellow,
    length_from_mean_power,
)
from pycore.planning.measurements.velocities import Segment, mean_velocity_m_s
from pycore.units import corneal_radius_mm
from tests.published.checks_formulas import power_of, predict


def test_a_length_at_its_own_velocity_stays() -> None:
    assert at_velocity_mm(23.5, set_m_s=1532.0, true_m_s=1532.0) == 23.5
    back = at_velocity_mm(at_velocity_mm(23.5, set_m_s=1550.0, true_m_s=1532.0), set_m_s=1532.0,
                          true_m_s=1550.0)
    assert back == pytest.approx(23.5, abs=1e-12)


def test_segments_are_the_whole_eye_at_the_mean_velocity() -> None:
    parts = ((3.5, 1532.0), (4.5, 1641.0), (15.5, 1532.0))
    mean = mean_velocity_m_s([Segment(*part) for part in parts])
    true = math.fsum(length for length, _ in parts)
    shown = true * 1550.0 / mean
    assert at_velocity_mm(shown, set_m_s=1550.0, true_m_s=mean) == pytest.approx(true, abs=1e-12)
    echoes = [Echo(length * 1550.0 / speed, 1550.0, speed) for length, speed in parts]
    assert from_segments_mm(echoes) == pytest.approx(true, abs=1e-12)
    assert math.fsum(echo.shown_mm for echo in echoes) == pytest.approx(shown, abs=1e-12)


def test_an_eye_without_lens_left_on_the_phakic_setting_gets_shorter() -> None:
    assert whole_eye_step(23.5, set_m_s=1550.0, state="aphakic").after < 23.5
    assert whole_eye_step(23.5, set_m_s=1532.0, state="phakic").after == phakic_from_1532_mm(23.5) > 23.5
    assert whole_eye_step(32.0, set_m_s=1550.0, state="aphakic_oil").after < 23.0


@pytest.mark.parametrize("index", [1.3315, 1.332, 4.0 / 3.0, 1.336, 1.3375])
def test_the_index_never_changes_the_radius(index: float) -> None:
    assert corneal_radius_mm(from_other_index_d(43.0, index=index)) == pytest.approx(
        corneal_radius_mm(43.0, index=index), abs=1e-12)


def test_total_power_there_and_back() -> None:
    for k_d in (28.0, 43.5, 65.0):
        total = total_power_d(corneal_radius_mm(k_d))
        assert total < k_d
        assert keratometric_from_total_d(total) == pytest.approx(k_d, abs=1e-9)


def test_after_laser_the_cornea_is_weaker_and_less_sure() -> None:
    flat = after_laser_belief(37.0, corrected_for="myopia")
    assert flat.mean == after_laser_d(37.0, corrected_for="myopia") - 37.0 < -1.0
    assert flat.sd > ALTERED_CORNEA_SD_D
    assert flat.sd > after_laser_belief(42.0, corrected_for="myopia").sd


def test_a_missing_cornea_follows_the_length_and_is_held_far_out() -> None:
    assert cornea_from_length(22.5).value > cornea_from_length(24.5).value
    far = cornea_from_length(31.0)
    assert far.value == cornea_from_length(26.05).value
    assert "held at its end" in far.text
    assert far.sd == CORNEA_SD_D
    assert "held" not in cornea_from_length(24.5).text


def test_a_missing_length_gives_the_mean_power_with_its_spread() -> None:
    def power(axial_length_mm: float) -> float:
        return power_of(predict("holladay1", axial_length_mm, 43.5, a=118.7), 0.0)

    found = length_from_mean_power(power)
    assert power(found.value) == pytest.approx(21.56, abs=1e-9)
    spread = (power(found.value - found.sd) - power(found.value + found.sd)) / 2
    assert spread == pytest.approx(math.hypot(1.96, 1.5), rel=0.05)


def test_the_fellow_eye_stands_in_with_a_spread() -> None:
    assert from_fellow(23.4, quantity="length").value == 23.4
    assert from_fellow(43.0, quantity="cornea").sd > from_fellow(23.4, quantity="length").sd > 0.0


def test_retinoscopy_there_and_back() -> None:
    assert net_sphere_d(gross_sphere_d(11.5, working_distance_m=0.6), working_distance_m=0.6) == pytest.approx(11.5)


@pytest.mark.parametrize(("make", "kind", "field"), [
    (lambda: at_velocity_mm(23.5, set_m_s=15.5, true_m_s=1532.0), OutOfRange, "velocity_m_s"),
    (lambda: mean_velocity_m_s([]), Inconsistent, "segments"),
    (lambda: mean_velocity_m_s([Segment(0.0, 1532.0)]), OutOfRange, "segments"),
    (lambda: phakic_from_1532_mm(0.3), OutOfRange, "axial_length_mm"),
    (lambda: from_other_index_d(43.0, index=1.5), OutOfRange, "keratometer_index"),
    (lambda: net_sphere_d(14.0, working_distance_m=67.0), OutOfRange, "working_distance_m"),
    (lambda: length_from_mean_power(lambda length: 10.0), GuylineError, "k1_d"),
])
def test_what_cannot_be_is_refused_by_name(make, kind: type[GuylineError], field: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(kind) as refused:
        make()
    assert refused.value.field == field
