"""Media behind the lens: what must hold for any lens and any medium."""

from __future__ import annotations

from itertools import pairwise

import pytest

from pycore.errors import Infeasible, OpticsError
from pycore.optics.media import (
    BACK_SHARE,
    MEDIA,
    Eye,
    extra_power_flat_back_d,
    power_for_target_d,
    refraction_in_d,
    shaped_lens,
    shift_d,
)
from pycore.optics.paraxial import Face, cardinal_points
from pycore.optics.vergence import refraction_d
from pycore.units import AQUEOUS_INDEX
from tests.published.checks_media import thin_lens

EYE = Eye(23.7, 5.3, 42.96)


@pytest.mark.parametrize("shape", BACK_SHARE)
@pytest.mark.parametrize("power_d", [-5.0, 0.0, 8.0, 21.0, 30.0])
def test_in_vitreous_every_shape_is_the_formulas_thin_lens(shape: str, power_d: float) -> None:
    lens = shaped_lens(power_d=power_d, shape=shape, index=1.49)
    thin = refraction_d(axial_length_mm=23.7, lens_position_mm=5.3, corneal_power_d=42.96, lens_power_d=power_d)
    assert refraction_in_d(EYE, lens, medium_index=AQUEOUS_INDEX) == pytest.approx(thin, abs=1e-9)


@pytest.mark.parametrize("shape", BACK_SHARE)
@pytest.mark.parametrize("power_d", [-5.0, 8.0, 21.0, 30.0])
def test_the_lens_has_its_label_power_in_aqueous(shape: str, power_d: float) -> None:
    lens = shaped_lens(power_d=power_d, shape=shape, index=1.46)
    faces = (Face(lens.front, lens.index, lens.thickness_mm), Face(lens.back, AQUEOUS_INDEX))
    assert cardinal_points(faces, index_before=AQUEOUS_INDEX).power_d == pytest.approx(power_d, abs=1e-9)
    assert lens.thickness_mm >= 0.25


def test_the_more_convex_the_back_the_more_hyperopic_in_oil_and_the_more_myopic_in_gas() -> None:
    shapes = ("concave_back", "flat_back", "equiconvex", "flat_front")
    lenses = [shaped_lens(power_d=21.0, shape=shape, index=1.49) for shape in shapes]
    oil = [shift_d(EYE, lens, medium_index=MEDIA["oil"]) for lens in lenses]
    assert all(first < second for first, second in pairwise(oil))
    assert oil[0] > 0.0
    assert shift_d(EYE, lenses[1], medium_index=MEDIA["gas"]) < -10.0


def test_a_thick_lens_changes_a_little_less_than_a_thin_one() -> None:
    for shape, index in (("flat_back", 1.49), ("equiconvex", 1.55), ("equiconvex", 1.46)):
        thin = thin_lens(EYE, shape=shape, index=index)
        power = 1000.0 * (index - AQUEOUS_INDEX) * (thin.front - thin.back)
        thick = shaped_lens(power_d=power, shape=shape, index=index)
        less = shift_d(EYE, thin, medium_index=1.405) - shift_d(EYE, thick, medium_index=1.405)
        assert 0.0 < less < 0.35


@pytest.mark.parametrize("shape", BACK_SHARE)
def test_the_power_for_the_target_reaches_it(shape: str) -> None:
    power = power_for_target_d(EYE, shape=shape, index=1.49, medium_index=1.405, target_d=-0.5)
    lens = shaped_lens(power_d=power, shape=shape, index=1.49)
    assert refraction_in_d(EYE, lens, medium_index=1.405) == pytest.approx(-0.5, abs=1e-8)


def test_a_flat_back_needs_about_the_extra_power_of_thin_optics() -> None:
    oil = power_for_target_d(EYE, shape="flat_back", index=1.49, medium_index=1.405, target_d=0.0)
    plain = power_for_target_d(EYE, shape="flat_back", index=1.49, medium_index=AQUEOUS_INDEX, target_d=0.0)
    thin = extra_power_flat_back_d(axial_length_mm=23.7, lens_position_mm=5.3, medium_index=1.405)
    assert oil - plain == pytest.approx(thin, abs=0.3)


def test_what_cannot_be_is_refused_by_name() -> None:
    with pytest.raises(Infeasible) as lens:
        shaped_lens(power_d=45.0, shape="flat_front", index=1.40)
    assert lens.value.field == "lens_index"
    with pytest.raises(Infeasible) as target:
        power_for_target_d(Eye(21.0, 4.5, 40.0), shape="flat_front", index=1.42, medium_index=1.405,
                           target_d=-3.0)
    assert target.value.field in ("target_d", "lens_index")
    with pytest.raises(OpticsError):
        refraction_in_d(Eye(5.5, 5.3, 43.0), shaped_lens(power_d=21.0, shape="equiconvex", index=1.49),
                        medium_index=1.405)
    with pytest.raises(OpticsError):
        extra_power_flat_back_d(axial_length_mm=5.0, lens_position_mm=5.0, medium_index=1.405)
