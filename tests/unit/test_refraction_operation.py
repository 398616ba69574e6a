"""The ``refraction`` operation: both forms, errors, axis rules."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.errors import GuylineError, MissingField, OutOfRange, WrongType


def _value(**request: Any) -> dict[str, Any]:
    value = answer("refraction", request)["value"]
    assert isinstance(value, dict)
    return value


def test_plus_cylinder_is_written_in_both_forms() -> None:
    value = _value(sphere_d=0.25, cylinder_d=1.25, axis_deg=105)
    assert value["minus"] == {"sphere_d": 1.5, "cylinder_d": -1.25, "axis_deg": 15.0}
    assert value["plus"] == {"sphere_d": 0.25, "cylinder_d": 1.25, "axis_deg": 105.0}
    assert value["se_d"] == value["m_d"] == 0.875


def test_axis_0_is_180() -> None:
    assert _value(sphere_d=-1.0, cylinder_d=-2.0, axis_deg=0) == _value(
        sphere_d=-1.0, cylinder_d=-2.0, axis_deg=180)
    assert _value(sphere_d=-1.0, cylinder_d=-2.0, axis_deg=0)["minus"]["axis_deg"] == 180.0


def test_sphere_needs_no_cylinder_and_no_axis() -> None:
    value = _value(sphere_d=3.0)
    assert value["minus"] == value["plus"] == {"sphere_d": 3.0, "cylinder_d": 0.0, "axis_deg": 180.0}
    assert (value["j0_d"], value["j45_d"], value["se_12_d"]) == (0.0, 0.0, 3.0)


def test_other_vertex_moves_each_meridian_to_12_mm() -> None:
    """+12.50 D at 13.75 mm is +12.780 D at 12 mm (computed independently)."""
    value = _value(sphere_d=12.5, vertex_mm=13.75)
    assert value["se_d"] == 12.5
    assert value["se_12_d"] == pytest.approx(12.780, abs=0.0005)


@pytest.mark.parametrize(("request_", "kind", "field"), [
    ({}, MissingField, "sphere_d"),
    ({"sphere_d": 1.0, "cylinder_d": -1.0}, MissingField, "axis_deg"),
    ({"sphere_d": 1.0, "cylinder_d": -15.25, "axis_deg": 90}, OutOfRange, "cylinder_d"),
    ({"sphere_d": 1.0, "cylinder_d": 15.25, "axis_deg": 90}, OutOfRange, "cylinder_d"),
    ({"sphere_d": 1.0, "cylinder_d": -1.0, "axis_deg": 181}, OutOfRange, "axis_deg"),
    ({"sphere_d": "1", "cylinder_d": -1.0, "axis_deg": 90}, WrongType, "sphere_d"),
])
def test_errors_name_their_field(request_: dict[str, Any], kind: type[GuylineError], field: str) -> None:
    with pytest.raises(kind) as caught:
        answer("refraction", request_)
    assert caught.value.field == field
