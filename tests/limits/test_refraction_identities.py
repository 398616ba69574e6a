"""Identities of sphero-cylinders."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pycore.optics.refraction import (
    Spherocylinder,
    change_vertex,
    from_power_vector,
    minus_form,
    normal_axis_deg,
    plus_form,
    spherical_equivalent_d,
    to_power_vector,
    transpose,
)


def _between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


REFRACTIONS = st.builds(Spherocylinder, _between(-20, 20), _between(-10, 10), _between(0, 180))
ASTIGMATIC = REFRACTIONS.filter(lambda refraction: abs(refraction.cylinder_d) > 0.01)


def _same(first: Spherocylinder, second: Spherocylinder, within: float = 1e-9) -> None:
    one, other = to_power_vector(first), to_power_vector(second)
    for name in ("m_d", "j0_d", "j45_d"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), abs=within)


@given(_between(-1e6, 1e6))
def test_axis_stays_in_its_range_and_on_its_meridian(axis: float) -> None:
    written = normal_axis_deg(axis)
    assert 0.0 < written <= 180.0
    assert math.sin(math.radians(written - axis)) == pytest.approx(0.0, abs=1e-8)
    assert normal_axis_deg(written) == written


@given(REFRACTIONS)
def test_transposition_keeps_the_lens_and_undoes_itself(refraction: Spherocylinder) -> None:
    other = transpose(refraction)
    _same(refraction, other)
    _same(refraction, transpose(other))
    assert spherical_equivalent_d(other.sphere_d, other.cylinder_d) == pytest.approx(
        spherical_equivalent_d(refraction.sphere_d, refraction.cylinder_d), abs=1e-12)


@given(REFRACTIONS)
def test_forms_have_their_sign_and_are_the_same_lens(refraction: Spherocylinder) -> None:
    minus, plus = minus_form(refraction), plus_form(refraction)
    assert minus.cylinder_d <= 0.0 <= plus.cylinder_d
    _same(minus, refraction)
    _same(plus, refraction)
    assert minus_form(minus) == minus
    assert plus_form(plus) == plus


@given(ASTIGMATIC)
def test_vector_round_trip(refraction: Spherocylinder) -> None:
    back, minus = from_power_vector(to_power_vector(refraction)), minus_form(refraction)
    assert back.sphere_d == pytest.approx(minus.sphere_d, abs=1e-9)
    assert back.cylinder_d == pytest.approx(minus.cylinder_d, abs=1e-9)
    assert math.sin(math.radians(back.axis_deg - minus.axis_deg)) == pytest.approx(0.0, abs=1e-9)


@given(refraction=REFRACTIONS, vertex=_between(0.0, 15.0))
def test_vertex_round_trip(refraction: Spherocylinder, vertex: float) -> None:
    there = change_vertex(refraction, from_mm=vertex, to_mm=0.0)
    _same(change_vertex(there, from_mm=0.0, to_mm=vertex), refraction)


@given(refraction=REFRACTIONS, vertex=_between(0.0, 15.0))
def test_vertex_change_does_not_depend_on_the_form(refraction: Spherocylinder, vertex: float) -> None:
    moved = change_vertex(refraction, from_mm=vertex, to_mm=0.0)
    _same(moved, change_vertex(transpose(refraction), from_mm=vertex, to_mm=0.0))


@given(REFRACTIONS)
def test_blur_squared_is_the_sum_of_squares(refraction: Spherocylinder) -> None:
    mean = spherical_equivalent_d(refraction.sphere_d, refraction.cylinder_d)
    squares = mean**2 + refraction.cylinder_d**2 / 4
    assert to_power_vector(refraction).blur_d ** 2 == pytest.approx(squares, abs=1e-9)
