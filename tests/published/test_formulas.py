"""Landmarks of the four formulas.

The numbers are those of the published equations, which are from memory; landmarks tagged
"computed" come from independent implementations and are consistency, not proof. The tables
of powers, refractions and lens positions are in checks_formulas.py.
"""

from __future__ import annotations

import math

import pytest

from pycore.formulas import FORMULAS, Biometry, LensConstants, haigis, hoffer_q, holladay1, srkt
from tests.published.checks_formulas import power_of, predict, refraction_of


def _codes(formula: str, length_mm: float, k_d: float, **given: float) -> set[str]:
    return {code for code, _ in predict(formula, length_mm, k_d, a=118.7, **given).cautions}


class TestSrkT:
    """Retzlaff JA, Sanders DR, Kraff MC, 1990 (equations from memory)."""

    def test_length_is_corrected_only_above_24_2_mm(self) -> None:
        assert srkt.corrected_length_mm(24.2) == 24.2
        assert srkt.corrected_length_mm(26.0) == pytest.approx(-3.446 + 1.716 * 26 - 0.0237 * 676)

    def test_jump_at_24_2_mm_is_tiny(self) -> None:
        """Computed: +0.0015 mm."""
        jump = srkt.corrected_length_mm(math.nextafter(24.2, 25.0)) - 24.2
        assert jump == pytest.approx(0.0015, abs=0.00006)

    def test_correction_peaks_at_36_2_mm(self) -> None:
        """Computed: 36.2 mm."""
        peak_at = srkt.CORRECTION_PEAK_MM
        assert peak_at == pytest.approx(36.2, abs=0.05)
        peak = srkt.corrected_length_mm(srkt.CORRECTION_PEAK_MM)
        assert peak > srkt.corrected_length_mm(36.0)
        assert peak > srkt.corrected_length_mm(36.5)

    def test_optical_length_never_uses_the_corrected_length(self) -> None:
        assert predict("srkt", 30.0, 43.0, a=118.7).axial_length_mm == pytest.approx(
            30.0 + 0.65696 - 0.02029 * 30.0, abs=1e-12)

    def test_height_is_frozen_at_the_radius_beyond_the_cusp(self) -> None:
        eye = Biometry(24.0, 52.0, 52.0)
        assert srkt.radicand_mm2(eye) < 0.0
        assert srkt.corneal_height_mm(eye) == eye.radius_mm

    def test_power_rises_with_k_across_the_cusp(self) -> None:
        """Sheard RM, Smith GT, Cooke DL, J Cataract Refract Surg 2010;36:1829-1834: the step."""
        before, after = (power_of(predict("srkt", 24.0, k, a=118.7)) for k in (49.0, 50.0))
        assert after > before

    def test_cusp_is_cautioned(self) -> None:
        assert "srkt_beyond_cusp" in _codes("srkt", 24.0, 51.0)
        assert _codes("srkt", 24.0, 49.0) == {"srkt_near_cusp"}
        assert _codes("srkt", 23.5, 43.5) == set()

    def test_falling_length_correction_is_cautioned(self) -> None:
        assert "srkt_length_correction_turns" in _codes("srkt", 37.0, 40.0)
        assert "srkt_length_correction_turns" not in _codes("srkt", 36.0, 40.0)


class TestHolladay1:
    """Holladay JT et al., 1988 (equations from memory)."""

    def test_limits_begin_where_computed(self) -> None:
        """Computed: steeper than 48.21 D, longer than 25.33 mm."""
        steepest = 337.5 / holladay1.SMALLEST_RADIUS_MM
        assert steepest == pytest.approx(48.21, abs=0.005)
        longest = 13.5 * 23.45 / 12.5
        assert longest == pytest.approx(25.33, abs=0.005)
        assert _codes("holladay1", longest - 0.01, 48.2) == set()
        assert _codes("holladay1", longest + 0.01, 48.2) == {"holladay1_length_limit"}
        assert _codes("holladay1", longest - 0.01, 48.3) == {"holladay1_radius_limit"}

    def test_lens_position_stops_growing_at_both_limits(self) -> None:
        position = lambda length, k: predict("holladay1", length, k, a=118.7).lens_position_mm  # noqa: E731
        assert position(26.0, 43.0) == position(30.0, 43.0)
        assert position(23.5, 49.0) == position(23.5, 55.0)

    def test_radius_limit_stays_out_of_the_corneal_power(self) -> None:
        assert predict("holladay1", 23.5, 60.0, a=118.7).corneal_power_d == pytest.approx(
            60.0 * (1000 / 3) / 337.5)

    def test_negative_surgeon_factor_is_computed(self) -> None:
        ordinary = predict("holladay1", 23.5, 43.5, surgeon_factor_mm=1.62)
        negative = predict("holladay1", 23.5, 43.5, surgeon_factor_mm=-1.0)
        assert negative.lens_position_mm == pytest.approx(ordinary.lens_position_mm - 2.62)
        assert power_of(negative) < power_of(ordinary)


class TestHofferQ:
    """Hoffer KJ, 1993, with errata (corrected equations from memory)."""

    def test_tangent_is_squared_and_in_degrees(self) -> None:
        """Computed: 0.90 mm at 43.5 D."""
        steep = hoffer_q.chamber_depth_mm(axial_length_mm=23.5, k_mean_d=43.5, pacd_mm=5.0)
        flat = hoffer_q.chamber_depth_mm(axial_length_mm=23.5, k_mean_d=1e-9, pacd_mm=5.0)
        assert steep - flat == pytest.approx(0.90, abs=0.005)

    def test_step_at_23_mm_is_tiny(self) -> None:
        """Computed: 0.0011 mm."""
        below, above = (
            hoffer_q.chamber_depth_mm(axial_length_mm=length, k_mean_d=43.5, pacd_mm=5.0)
            for length in (23.0, math.nextafter(23.0, 24.0))
        )
        assert abs(above - below) == pytest.approx(0.0011, abs=0.00005)

    @pytest.mark.parametrize(("inside", "outside"), [(18.5, 16.0), (31.0, 36.0)])
    def test_limits_act_on_the_chamber_depth_only(self, inside: float, outside: float) -> None:
        edge, beyond = (predict("hoffer_q", length, 43.0, a=118.7) for length in (inside, outside))
        assert beyond.lens_position_mm == edge.lens_position_mm
        assert beyond.axial_length_mm == outside
        assert beyond.cautions[0][0] == "hoffer_q_length_limit"
        assert edge.cautions == ()

    def test_leaking_limit_would_give_the_wrong_power(self) -> None:
        """Computed: at 33 mm 0.70 D, against 4.96 D if the limit reached the vergence."""
        assert power_of(predict("hoffer_q", 33.0, 42.0, a=118.7), -2.0) == pytest.approx(0.70, abs=0.005)


class TestHaigis:
    """Haigis W et al., 2000 (equations from memory)."""

    def test_without_phakic_depth(self) -> None:
        eye = predict("haigis", 24.0, 43.0, a0=1.2, a1=0.3, a2=0.15)
        assert eye.lens_position_mm == pytest.approx((1.2 - 0.241 * 0.3) + (0.15 + 0.139 * 0.3) * 24.0)
        assert [code for code, _ in eye.cautions] == ["haigis_without_phakic_depth"]

    def test_mean_depth_branch_equals_that_depth(self) -> None:
        depth = haigis.mean_phakic_acd_mm(24.0)
        with_depth = predict("haigis", 24.0, 43.0, phakic_acd_mm=depth, a0=1.2)
        without = predict("haigis", 24.0, 43.0, a0=1.2)
        assert with_depth.lens_position_mm == without.lens_position_mm

    def test_a0_from_a_runs_strong_and_says_so(self) -> None:
        """Computed: 21.97 D against 20.92 D with SRK/T, about 0.7 D of refraction."""
        strong = predict("haigis", 23.5, 43.5, phakic_acd_mm=3.1, a=118.7)
        assert "haigis_a0_from_a" in {code for code, _ in strong.cautions}
        assert power_of(strong) - power_of(predict("srkt", 23.5, 43.5, a=118.7)) > 1.0
        too_myopic = refraction_of(predict("srkt", 23.5, 43.5, a=118.7), power_of(strong))
        assert too_myopic == pytest.approx(-0.7, abs=0.05)

    def test_fitted_a0_raises_no_caution(self) -> None:
        assert predict("haigis", 23.5, 43.5, phakic_acd_mm=3.1, a0=1.2).cautions == ()


def test_corneal_powers_use_each_formulas_own_index() -> None:
    eye = Biometry(23.5, 43.0, 44.0)
    expected = {"srkt": 333.0, "holladay1": 1000.0 / 3.0, "hoffer_q": 337.5, "haigis": 331.5}
    for name, excess in expected.items():
        thin = FORMULAS[name].predict(eye, LensConstants(a=118.7))
        assert thin.corneal_power_d == pytest.approx(excess / (337.5 / 43.5), rel=1e-14)


def test_every_formula_names_its_source() -> None:
    assert list(FORMULAS) == ["srkt", "holladay1", "hoffer_q", "haigis"]
    for name, formula in FORMULAS.items():
        assert formula.name == name
        assert any(year in formula.citation for year in ("1988", "1990", "1993", "2000"))


def test_position_per_constant_is_exact() -> None:
    for formula, start in (("srkt", 118.7), ("holladay1", 1.6), ("hoffer_q", 5.4), ("haigis", 1.2)):
        entry = FORMULAS[formula]
        low, high = (predict(formula, 23.5, 43.5, **{entry.constant: start + by}) for by in (0.0, 1.0))
        change = high.lens_position_mm - low.lens_position_mm
        assert change == pytest.approx(entry.position_per_constant, abs=1e-12)
