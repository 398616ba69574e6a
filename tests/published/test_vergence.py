"""Thin-lens vergence against textbook cases that can be worked by hand.

The tables of vertex conversions, refractive vergence and lens shifts, with sources, are in
checks_vergence.py.
"""

from __future__ import annotations

import pytest

from pycore.optics.vergence import (
    change_vertex_d,
    lens_power_d,
    power_for_change_d,
    refraction_and_slopes,
    refraction_d,
    to_corneal_plane_d,
    vergence_at_lens_d,
)

EYE = {"axial_length_mm": 23.5, "lens_position_mm": 5.25, "corneal_power_d": 43.0}


def test_eye_without_a_lens_is_its_length_against_its_cornea() -> None:
    """Rc = 1336 / L - K; from the definition of vergence."""
    aphakic = refraction_d(**EYE, lens_power_d=0.0, vertex_mm=0.0)
    assert aphakic == pytest.approx(1336 / 23.5 - 43.0, abs=1e-12)


def test_lens_at_the_cornea_adds_to_it() -> None:
    at_cornea = refraction_d(axial_length_mm=24.0, lens_position_mm=0.0, corneal_power_d=43.0,
                             lens_power_d=10.0, vertex_mm=0.0)
    assert at_cornea == pytest.approx(1336 / 24.0 - 53.0, abs=1e-12)


def test_emmetropic_and_afocal_eyes_need_no_special_case() -> None:
    assert vergence_at_lens_d(power_at_cornea_d=0.0, lens_position_mm=5.0) == 0.0
    no_cornea = lens_power_d(axial_length_mm=25.0, lens_position_mm=5.0, corneal_power_d=0.0,
                             refraction_d=0.0)
    assert no_cornea == pytest.approx(1336 / 20.0)
    all_in_lens = refraction_d(axial_length_mm=25.0, lens_position_mm=5.0, corneal_power_d=0.0,
                               lens_power_d=1336 / 20.0)
    assert all_in_lens == pytest.approx(0.0, abs=1e-12)
    assert power_for_change_d(present_refraction_d=0.0, target_d=0.0, corneal_power_d=43.0,
                              lens_position_mm=5.0) == 0.0


def test_signs() -> None:
    """Forward is more myopic; a stronger lens, a longer eye, a steeper cornea too."""
    slopes = refraction_and_slopes(**EYE, lens_power_d=20.0)
    assert slopes.per_lens_position > 0.0
    assert slopes.per_lens_power < 0.0
    assert slopes.per_axial_length < 0.0
    assert slopes.per_corneal_power < 0.0


def test_rule_of_thumb_for_lens_shift() -> None:
    """0.6, 1.3, 2.1 D per mm for 10, 20, 30 D; common practice, no source."""
    for power, length, per_mm in ((10.0, 26.89, 0.6), (20.0, 23.87, 1.3), (30.0, 21.59, 2.1)):
        slopes = refraction_and_slopes(axial_length_mm=length, lens_position_mm=5.25,
                                       corneal_power_d=43.0, lens_power_d=power)
        assert slopes.per_lens_position == pytest.approx(per_mm, abs=0.05)


def test_vertex_matters_for_aphakic_and_not_for_pseudophakic_eyes() -> None:
    """Below 4 D less than 0.03 D between 13.75 and 12 mm."""
    for refraction in (-4.0, -1.0, 2.0, 3.9):
        assert abs(change_vertex_d(refraction, from_mm=13.75, to_mm=12.0) - refraction) < 0.03
    assert change_vertex_d(12.5, from_mm=13.75, to_mm=12.0) - 12.5 > 0.25


def test_plus_grows_and_minus_shrinks_toward_the_cornea() -> None:
    assert to_corneal_plane_d(10.0, 12.0) > 10.0
    assert -10.0 < to_corneal_plane_d(-10.0, 12.0) < 0.0
