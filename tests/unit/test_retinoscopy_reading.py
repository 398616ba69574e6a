"""Readings by retinoscope: the lens as held, both meridians, its distances; against sums by hand."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.errors import GuylineError
from tests.records.sample import changed, reading, sample
from tests.unit.test_theatre_decision import read_back

Case = dict[str, Any]
RETINOSCOPE: Case = {"instrument": "retinoscope", "refraction_d": None}


def shown(**changes: Any) -> Case:
    """The first of two readings as the theatre shows it."""
    free = {**sample(), "haptic_log": [], "decisions": [], "surgery_on": None, "follow_ups": []}
    case = read_back(changed("readings.0", reading("r1", 5, 3.0, **changes), free))
    value: Case = answer("theatre_case", {"case": case})["value"]
    return value["readings"][0]


def test_a_lens_held_at_half_a_metre_loses_two_dioptres() -> None:
    """+1.50 D in both meridians at 50 cm: 1.50 - 1 / 0.5 = -0.50 D."""
    held = shown(**RETINOSCOPE, meridian_1_d=1.5, meridian_2_d=1.5, working_distance_m=0.5)
    assert held["refraction_d"] == pytest.approx(-0.5)


def test_two_meridians_make_their_mean_in_either_order() -> None:
    """(2.00 + 1.00) / 2 - 1 / (2 / 3) = 0.00 D."""
    for first, second in ((2.0, 1.0), (1.0, 2.0)):
        found = shown(**RETINOSCOPE, meridian_1_d=first, meridian_2_d=second, working_distance_m=2 / 3)
        assert found["refraction_d"] == pytest.approx(0.0, abs=1e-12)


def test_without_a_distance_the_reading_is_net() -> None:
    assert shown(**RETINOSCOPE, meridian_1_d=-0.5, meridian_2_d=-1.0)["refraction_d"] == pytest.approx(-0.75)


def test_a_lens_held_further_away_is_moved_to_twelve_millimetres() -> None:
    """-5.00 D at 15 mm is -5 / (1 + 5 * 0.015) = -4.651 D at the cornea, -4.926 D at 12 mm."""
    held = shown(**RETINOSCOPE, meridian_1_d=-5.0, meridian_2_d=-5.0, vertex_mm=15.0)
    cornea = -5.0 / (1.0 + 5.0 * 0.015)
    assert held["refraction_d"] == pytest.approx(cornea / (1.0 + cornea * 0.012))
    assert held["refraction_d"] == pytest.approx(-4.926, abs=0.001)


def test_a_distance_belongs_to_the_retinoscope() -> None:
    with pytest.raises(GuylineError, match="retinoscope only"):
        answer("advise", {
            "axial_length_mm": 23.5, "k1_d": 43.0, "k2_d": 44.0, "axial_method": "optical",
            "formula": "holladay1", "constants": {"a": 118.7}, "lens_power_d": 21.0, "target_d": -0.5,
            "haptic": {"drawn_out_mm": 2.7},
            "readings": [{"outside_mm": [2.4, 2.4], "refraction_d": 1.5, "instrument": "aberrometer",
                          "working_distance_m": 0.5}],
        })


def test_one_meridian_is_not_a_reading() -> None:
    found = shown(**RETINOSCOPE, meridian_1_d=1.5, working_distance_m=0.5)
    assert not found["used"]
    assert "Neutralise both meridians" in found["why_not"]
