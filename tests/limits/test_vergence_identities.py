"""Identities of the vergence pair: round trips, derivatives, monotonicity."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pycore.optics.vergence import (
    change_vertex_d,
    lens_power_d,
    power_for_change_d,
    refraction_after_change_d,
    refraction_and_slopes,
    refraction_d,
    to_corneal_plane_d,
    to_spectacle_plane_d,
)


def _between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


THIN = {
    "axial_length_mm": _between(18.0, 36.0),
    "lens_position_mm": _between(2.0, 8.0),
    "corneal_power_d": _between(30.0, 55.0),
}
EYES = st.fixed_dictionaries(
    {**THIN, "lens_power_d": _between(-10.0, 30.0), "vertex_mm": _between(0.0, 14.0)}
)

#: Derivative of the refraction and the input it belongs to.
SLOPES = {
    "axial_length_mm": "per_axial_length",
    "lens_position_mm": "per_lens_position",
    "corneal_power_d": "per_corneal_power",
    "lens_power_d": "per_lens_power",
}


def _focal(eye: dict[str, float]) -> bool:
    """Whether the eye's far point lies well outside the vertex distance."""
    corneal = refraction_d(**{**eye, "vertex_mm": 0.0})
    return 1.0 + eye["vertex_mm"] * corneal / 1000.0 > 0.2


@given(EYES)
def test_power_undoes_refraction(eye: dict[str, float]) -> None:
    if not _focal(eye):
        return
    power = eye["lens_power_d"]
    thin = {key: value for key, value in eye.items() if key != "lens_power_d"}
    assert lens_power_d(**thin, refraction_d=refraction_d(**eye)) == pytest.approx(power, abs=1e-8)


@given(EYES)
def test_slopes_carry_the_same_refraction(eye: dict[str, float]) -> None:
    if _focal(eye):
        assert refraction_and_slopes(**eye).refraction_d == refraction_d(**eye)


@pytest.mark.parametrize("name", SLOPES)
@given(eye=EYES)
def test_slopes_are_the_finite_differences(name: str, eye: dict[str, float]) -> None:
    if not _focal(eye):
        return
    exact = getattr(refraction_and_slopes(**eye), SLOPES[name])
    assert exact == pytest.approx(_difference(eye, name), rel=2e-6, abs=2e-6)


def _difference(eye: dict[str, float], name: str) -> float:
    """Fourth-order central difference."""
    step = 1e-3

    def at(by: float) -> float:
        return refraction_d(**{**eye, name: eye[name] + by * step})

    return (8.0 * (at(1.0) - at(-1.0)) - (at(2.0) - at(-2.0))) / (12.0 * step)


@given(eye=EYES, more=_between(0.01, 2.0))
def test_stronger_lens_is_more_myopic(eye: dict[str, float], more: float) -> None:
    stronger: dict[str, Any] = {**eye, "lens_power_d": eye["lens_power_d"] + more, "vertex_mm": 0.0}
    assert refraction_d(**stronger) < refraction_d(**{**eye, "vertex_mm": 0.0})


@given(eye=EYES, more=_between(0.01, 1.0))
def test_plus_lens_further_back_is_more_hyperopic(eye: dict[str, float], more: float) -> None:
    here: dict[str, Any] = {**eye, "lens_power_d": max(eye["lens_power_d"], 1.0), "vertex_mm": 0.0}
    back = {**here, "lens_position_mm": here["lens_position_mm"] + more}
    slopes = refraction_and_slopes(**here)
    if slopes.per_lens_position > 0.0 and refraction_and_slopes(**back).per_lens_position > 0.0:
        assert refraction_d(**back) > refraction_d(**here)


@given(EYES)
def test_lens_shift_slope_has_the_sign_of_its_power(eye: dict[str, float]) -> None:
    """dRc/dd has the sign of P (P + 2 v1); with v1 = v2 - P that is P (2 v2 - P)."""
    behind = 1336.0 / (eye["axial_length_mm"] - eye["lens_position_mm"])
    slope = refraction_and_slopes(**{**eye, "vertex_mm": 0.0}).per_lens_position
    expected = eye["lens_power_d"] * (2.0 * behind - eye["lens_power_d"])
    assert slope == 0.0 if expected == 0.0 else math.copysign(1.0, slope) == math.copysign(1.0, expected)


@given(refraction=_between(-30.0, 30.0), vertex=_between(0.0, 16.0))
def test_vertex_round_trip(refraction: float, vertex: float) -> None:
    there = to_corneal_plane_d(refraction, vertex)
    assert to_spectacle_plane_d(there, vertex) == pytest.approx(refraction, abs=1e-10)
    assert change_vertex_d(refraction, from_mm=vertex, to_mm=vertex) == pytest.approx(refraction, abs=1e-10)


@given(present=_between(-15.0, 20.0), target=_between(-12.0, 6.0), k=_between(30.0, 60.0),
       position=_between(1.0, 9.0), vertex=_between(0.0, 16.0))
def test_refraction_after_the_computed_change_is_the_target(
    present: float, target: float, k: float, position: float, vertex: float
) -> None:
    eye = {"present_refraction_d": present, "corneal_power_d": k, "lens_position_mm": position,
           "vertex_mm": vertex}
    added = power_for_change_d(**eye, target_d=target)
    assert refraction_after_change_d(**eye, added_power_d=added) == pytest.approx(target, abs=1e-9)


@given(present=_between(-15.0, 20.0), target=_between(-12.0, 6.0), k=_between(30.0, 60.0),
       position=_between(1.0, 9.0))
def test_change_and_its_reverse_cancel(present: float, target: float, k: float, position: float) -> None:
    rest = {"corneal_power_d": k, "lens_position_mm": position}
    there = power_for_change_d(present_refraction_d=present, target_d=target, **rest)
    back = power_for_change_d(present_refraction_d=target, target_d=present, **rest)
    assert there == pytest.approx(-back, abs=1e-10)


@given(length=_between(20.0, 30.0), position=_between(3.0, 7.0), k=_between(36.0, 50.0),
       target=_between(-3.0, 1.0))
def test_both_routes_to_the_lens_power_agree(
    length: float, position: float, k: float, target: float
) -> None:
    """Through the axial length, or through the aphakic refraction of that same eye."""
    thin = {"axial_length_mm": length, "lens_position_mm": position, "corneal_power_d": k}
    aphakic = refraction_d(**thin, lens_power_d=0.0)
    by_refraction = power_for_change_d(present_refraction_d=aphakic, target_d=target, corneal_power_d=k,
                                       lens_position_mm=position)
    assert by_refraction == pytest.approx(lens_power_d(**thin, refraction_d=target), abs=1e-8)
