"""What must hold of an optimised constant."""

from __future__ import annotations

import pytest

from pycore.audit.constants import FormulaEye, zero_mean
from pycore.optics.vergence import refraction_d


def _eyes(count: int, off_mm: float, noise: float = 0.0) -> list[FormulaEye]:
    """Eyes whose lens lies ``off_mm`` further back than the formula thinks, and noise of alternating sign."""
    made = []
    for index in range(count):
        eye = {"axial_length_mm": 22.5 + 0.1 * (index % 30), "corneal_power_d": 43.0, "lens_power_d": 20.0}
        achieved = refraction_d(**eye, lens_position_mm=5.2 + off_mm)
        made.append(FormulaEye(**eye, lens_position_mm=5.2, achieved_d=achieved + noise * (-1) ** index))
    return made


def _persons(count: int) -> list[str]:
    return [str(index) for index in range(count)]


@pytest.mark.parametrize("off_mm", [-0.6, -0.1, 0.0, 0.3])
def test_a_pure_position_error_is_found_exactly(off_mm: float) -> None:
    found = zero_mean(_eyes(12, off_mm), _persons(12), position_per_constant=1.0)
    assert found is not None
    assert found.shift.value == pytest.approx(off_mm, abs=1e-4)
    assert max(map(abs, found.errors_d)) < 2e-4
    as_a = zero_mean(_eyes(12, off_mm), _persons(12), position_per_constant=0.62467)
    assert as_a is not None
    assert as_a.shift.value == pytest.approx(off_mm / 0.62467, abs=2e-4)


def test_a_lens_further_back_is_more_hyperopic_and_asks_for_a_larger_constant() -> None:
    found = zero_mean(_eyes(12, 0.3), _persons(12), position_per_constant=1.0)
    assert found is not None
    assert found.before_d > 0.2
    assert found.shift.value > 0


def test_few_eyes_move_the_label_little_and_many_almost_fully() -> None:
    weights = []
    for count in (1, 3, 30, 400):
        found = zero_mean(_eyes(count, 0.3, noise=0.5), _persons(count), position_per_constant=1.0)
        assert found is not None
        assert found.shrunk == pytest.approx(found.weight * found.shift.value)
        weights.append(found.weight)
    assert weights == sorted(weights)
    assert weights[0] < 0.25
    assert weights[-1] > 0.95


def test_both_eyes_of_a_person_move_the_label_no_more_than_one() -> None:
    eyes = _eyes(10, 0.3, noise=0.5)
    one = zero_mean(eyes, _persons(10), position_per_constant=1.0)
    both = zero_mean(eyes * 2, _persons(10) * 2, position_per_constant=1.0)
    assert one is not None and both is not None
    assert both.shift.low95 == pytest.approx(one.shift.low95, abs=1e-6)
    assert both.weight == pytest.approx(one.weight, abs=0.02)


def test_one_person_has_no_interval_and_no_eyes_no_constant() -> None:
    found = zero_mean(_eyes(1, 0.3), ["a"], position_per_constant=1.0)
    assert found is not None
    assert found.shift.low95 is None
    assert zero_mean([], [], position_per_constant=1.0) is None
