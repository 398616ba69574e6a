"""Numbers with which no image forms are named errors, never numbers."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.errors import MissingField, OpticsError, OutOfRange, WrongUnit
from pycore.formulas import Biometry
from pycore.optics.vergence import (
    lens_power_d,
    refraction_and_slopes,
    refraction_d,
    to_corneal_plane_d,
    to_spectacle_plane_d,
    vergence_at_cornea_d,
    vergence_at_lens_d,
)

EYE = {"axial_length_mm": 23.5, "lens_position_mm": 5.25, "corneal_power_d": 43.0}


@pytest.mark.parametrize("position", [23.5, 30.0])
def test_lens_behind_the_retina(position: float) -> None:
    eye = {**EYE, "lens_position_mm": position}
    calls = (
        lambda: refraction_d(**eye, lens_power_d=20.0),
        lambda: lens_power_d(**eye, refraction_d=0.0),
        lambda: refraction_and_slopes(**eye, lens_power_d=20.0),
    )
    for call in calls:
        with pytest.raises(OpticsError) as caught:
            call()
        assert caught.value.field == "lens_position_mm"
        assert caught.value.code == "no_image"


def test_lens_too_strong_for_its_place() -> None:
    with pytest.raises(OpticsError) as caught:
        refraction_d(**EYE, lens_power_d=400.0)
    assert caught.value.field == "lens_power_d"
    with pytest.raises(OpticsError):
        vergence_at_cornea_d(vergence_before_lens_d=-1336 / 5.0, lens_position_mm=5.0)


def test_light_focused_before_the_lens() -> None:
    with pytest.raises(OpticsError) as caught:
        vergence_at_lens_d(power_at_cornea_d=1336 / 5.0, lens_position_mm=5.0)
    assert caught.value.field == "lens_position_mm"


def test_focus_or_far_point_between_spectacle_and_cornea() -> None:
    with pytest.raises(OpticsError) as caught:
        to_corneal_plane_d(1000 / 12.0, 12.0)
    assert caught.value.field == "refraction_d"
    with pytest.raises(OpticsError) as caught:
        to_spectacle_plane_d(-1000 / 12.0, 12.0)
    assert caught.value.field == "vertex_mm"


@pytest.mark.parametrize(("change", "field"), [
    ({"axial_length_mm": 0.0}, "axial_length_mm"), ({"k1_d": -1.0}, "k1_d"),
    ({"k2_d": float("nan")}, "k2_d"), ({"axial_length_mm": float("inf")}, "axial_length_mm"),
])
def test_biometry_refuses_what_is_not_a_length_or_power(change: dict[str, float], field: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        Biometry(**{"axial_length_mm": 23.5, "k1_d": 43.0, "k2_d": 44.0, **change})
    assert caught.value.field == field


CHANGE: dict[str, Any] = {"present_refraction_d": 12.5, "target_d": 0.0, "k_d": 43.0, "lens_position_mm": 5.2}


def test_vergence_power_uses_12_mm_unless_told() -> None:
    assert answer("vergence_power", CHANGE) == answer("vergence_power", {**CHANGE, "vertex_mm": 12.0})
    assert answer("vergence_power", CHANGE) != answer("vergence_power", {**CHANGE, "vertex_mm": 13.75})


@pytest.mark.parametrize(("change", "kind", "field"), [
    ({"k_d": 7.7}, WrongUnit, "k_d"), ({"k_d": None}, MissingField, "k_d"),
    ({"lens_position_mm": 0.5}, OutOfRange, "lens_position_mm"),
    ({"present_refraction_d": 40.0, "vertex_mm": 25.0}, OpticsError, "present_refraction_d"),
])
def test_vergence_power_errors_name_their_field(
    change: dict[str, Any], kind: type[OutOfRange], field: str
) -> None:
    with pytest.raises(kind) as caught:
        answer("vergence_power", {**CHANGE, **change})
    assert caught.value.field == field
