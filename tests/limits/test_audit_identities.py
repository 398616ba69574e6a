"""Identities of the audit's statistics."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pycore.audit.intervals import wilson
from pycore.audit.statistics import WITHIN_LIMITS_D, summarise

ERRORS = st.lists(st.floats(-6.0, 6.0, allow_nan=False), min_size=2, max_size=60)


@given(ERRORS)
def test_rmse_splits_into_mean_and_spread(errors: list[float]) -> None:
    """RMSE^2 = mean^2 + SD^2 (n - 1) / n."""
    found = summarise(errors)
    assert found.sd_d is not None
    parts = found.mean_d**2 + found.sd_d**2 * (found.n - 1) / found.n
    assert found.rmse_d**2 == pytest.approx(parts, abs=1e-9)


@given(ERRORS)
def test_sizes_are_ordered(errors: list[float]) -> None:
    found = summarise(errors)
    assert abs(found.mean_d) <= found.mae_d + 1e-12
    assert found.mae_d <= found.rmse_d + 1e-12
    shares = [found.within[key].fraction for key in WITHIN_LIMITS_D]
    assert shares == sorted(shares)


@given(errors=ERRORS, shift=st.floats(-2.0, 2.0, allow_nan=False))
def test_shift_moves_the_mean_only(errors: list[float], shift: float) -> None:
    before, after = summarise(errors), summarise([error + shift for error in errors])
    assert after.mean_d == pytest.approx(before.mean_d + shift, abs=1e-12)
    assert after.sd_d == pytest.approx(before.sd_d, abs=1e-9)


@given(ERRORS)
def test_mirror_image(errors: list[float]) -> None:
    before, after = summarise(errors), summarise([-error for error in errors])
    assert after.mean_d == -before.mean_d
    assert (after.mae_d, after.medae_d, after.rmse_d) == (before.mae_d, before.medae_d, before.rmse_d)
    assert after.within == before.within


@given(n=st.integers(1, 400), data=st.data())
def test_interval_holds_its_fraction_and_mirrors(n: int, data: st.DataObject) -> None:
    count = data.draw(st.integers(0, n))
    found, mirror = wilson(count, n), wilson(n - count, n)
    assert 0.0 <= found.low95 <= found.fraction <= found.high95 <= 1.0
    assert found.low95 == pytest.approx(1.0 - mirror.high95, abs=1e-12)


def test_interval_narrows_with_the_series() -> None:
    widths = [wilson(n // 2, n).high95 - wilson(n // 2, n).low95 for n in (10, 40, 160, 640)]
    assert widths == sorted(widths, reverse=True)
    assert widths[2] / widths[3] == pytest.approx(2.0, abs=0.05)


def test_sum_does_not_lose_small_errors() -> None:
    """Plain summation would give 0 here."""
    assert summarise([1e16, 1.0, -1e16]).mean_d == pytest.approx(1.0 / 3.0)
    assert math.isfinite(summarise([1e16, 1.0, -1e16]).rmse_d)
