"""Properties of the four formulas over everything that is computed."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator

import pytest

from pycore.formulas import FORMULAS, Biometry, LensConstants, ThinEye
from pycore.optics.vergence import lens_power_d, refraction_d


def _thin(eye: ThinEye) -> dict[str, float]:
    return {"axial_length_mm": eye.axial_length_mm, "lens_position_mm": eye.lens_position_mm,
            "corneal_power_d": eye.corneal_power_d}


def _eyes(count: int, *, ordinary: bool) -> Iterator[tuple[Biometry, LensConstants]]:
    source = random.Random(11)
    for _ in range(count):
        length = source.uniform(21.0, 27.0) if ordinary else source.uniform(14.0, 40.0)
        k = source.uniform(40.0, 47.0) if ordinary else source.uniform(28.0, 65.0)
        a = source.uniform(117.0, 120.0) if ordinary else source.uniform(110.0, 125.0)
        yield Biometry(length, k, k, 3.2), LensConstants(a=a)


@pytest.mark.parametrize("name", FORMULAS)
def test_everything_possible_is_computed(name: str) -> None:
    for biometry, constants in _eyes(3000, ordinary=False):
        thin = _thin(FORMULAS[name].predict(biometry, constants))
        for target in (-12.0, 0.0, 6.0):
            assert math.isfinite(lens_power_d(**thin, refraction_d=target))
        for power in (-10.0, 0.0, 45.0):
            assert math.isfinite(refraction_d(**thin, lens_power_d=power))


@pytest.mark.parametrize("name", FORMULAS)
def test_corners_of_the_range_are_computed(name: str) -> None:
    for length in (14.0, 40.0):
        for k in (28.0, 65.0):
            for a in (110.0, 125.0):
                for depth in (None, 1.5, 6.0):
                    thin = FORMULAS[name].predict(Biometry(length, k, k, depth), LensConstants(a=a))
                    assert thin.lens_position_mm < thin.axial_length_mm
                    assert math.isfinite(lens_power_d(**_thin(thin), refraction_d=0.0))
                    assert math.isfinite(refraction_d(**_thin(thin), lens_power_d=45.0))


@pytest.mark.parametrize("name", FORMULAS)
def test_power_and_refraction_round_trip(name: str) -> None:
    for biometry, constants in _eyes(1000, ordinary=True):
        thin = _thin(FORMULAS[name].predict(biometry, constants))
        for target in (-3.0, -0.5, 0.0, 1.0):
            power = lens_power_d(**thin, refraction_d=target)
            assert refraction_d(**thin, lens_power_d=power) == pytest.approx(target, abs=1e-9)


@pytest.mark.parametrize("name", FORMULAS)
def test_longer_eye_needs_less_power(name: str) -> None:
    for biometry, constants in _eyes(500, ordinary=True):
        longer = Biometry(biometry.axial_length_mm + 0.1, biometry.k1_d, biometry.k2_d, 3.2)
        powers = [lens_power_d(**_thin(FORMULAS[name].predict(eye, constants)), refraction_d=0.0)
                  for eye in (biometry, longer)]
        assert powers[1] < powers[0]


@pytest.mark.parametrize("name", FORMULAS)
def test_larger_constant_puts_the_lens_further_back_and_needs_more_power(name: str) -> None:
    for biometry, constants in _eyes(500, ordinary=True):
        assert constants.a is not None
        larger = LensConstants(a=constants.a + 0.5)
        eyes = [FORMULAS[name].predict(biometry, given) for given in (constants, larger)]
        assert eyes[1].lens_position_mm > eyes[0].lens_position_mm
        if lens_power_d(**_thin(eyes[0]), refraction_d=0.0) > 1.0:
            powers = [lens_power_d(**_thin(eye), refraction_d=0.0) for eye in eyes]
            assert powers[1] > powers[0]


@pytest.mark.parametrize("name", FORMULAS)
def test_flat_and_steep_may_be_swapped_without_effect(name: str) -> None:
    constants = LensConstants(a=118.7)
    ordered, swapped = Biometry(23.5, 42.0, 45.0, 3.1), Biometry(23.5, 45.0, 42.0, 3.1)
    assert FORMULAS[name].predict(ordered, constants) == FORMULAS[name].predict(swapped, constants)


@pytest.mark.parametrize("name", FORMULAS)
def test_long_flat_eyes_need_negative_powers(name: str) -> None:
    thin = _thin(FORMULAS[name].predict(Biometry(34.0, 45.0, 45.0, 3.5), LensConstants(a=118.7)))
    power = lens_power_d(**thin, refraction_d=0.0)
    assert power < 0.0
    assert refraction_d(**thin, lens_power_d=power) == pytest.approx(0.0, abs=1e-9)
