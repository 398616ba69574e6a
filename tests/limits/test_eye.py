"""The eye model: derivatives against finite differences, signs, and what moves what."""

from __future__ import annotations

import pytest

from pycore.belief.eye import EyeModel, lens_position_mm, predict_final, predict_reading
from pycore.belief.priors import INDEX, INSTRUMENTS, UNKNOWNS
from pycore.optics.vergence import refraction_d

EYES = {
    "ordinary": EyeModel(23.7, 5.3, 44.0, 21.0),
    "short, deep entry, short tunnel": EyeModel(21.0, 4.6, 44.5, 29.0, entry_mm=2.6, tunnel_mm=1.2),
    "long": EyeModel(28.4, 6.0, 42.5, 7.0, entry_mm=1.5, tunnel_mm=2.5),
    "minus lens": EyeModel(34.0, 6.0, 44.0, -5.0),
}
ELSEWHERE = tuple(0.03 * (-1) ** index * (1 + index) / len(UNKNOWNS) for index in range(len(UNKNOWNS)))
ZERO = (0.0,) * len(UNKNOWNS)


def shifted(unknowns: tuple[float, ...], index: int, step: float) -> tuple[float, ...]:
    return (*unknowns[:index], unknowns[index] + step, *unknowns[index + 1 :])


@pytest.mark.parametrize("name", EYES)
@pytest.mark.parametrize("at", [ZERO, ELSEWHERE], ids=["zero", "elsewhere"])
@pytest.mark.parametrize("outside_mm", [0.5, 2.0, 3.2])
@pytest.mark.parametrize("latest", [True, False])
def test_gradient_of_a_reading(name: str, at: tuple[float, ...], outside_mm: float, latest: bool) -> None:
    for instrument in INSTRUMENTS:
        def value(x: tuple[float, ...], instrument: str = instrument) -> float:
            return predict_reading(EYES[name], x, outside_mm=outside_mm, instrument=instrument,
                                   latest=latest).value_d

        gradient = predict_reading(EYES[name], at, outside_mm=outside_mm, instrument=instrument,
                                   latest=latest).gradient
        for index, slope in enumerate(gradient):
            step = 1e-4
            change = (value(shifted(at, index, step)) - value(shifted(at, index, -step))) / (2 * step)
            assert slope == pytest.approx(change, abs=2e-6), UNKNOWNS[index]


@pytest.mark.parametrize("name", EYES)
@pytest.mark.parametrize("at", [ZERO, ELSEWHERE], ids=["zero", "elsewhere"])
@pytest.mark.parametrize("unmoved", [True, False])
def test_gradient_of_the_final_refraction(name: str, at: tuple[float, ...], unmoved: bool) -> None:
    def value(x: tuple[float, ...]) -> float:
        return predict_final(EYES[name], x, outside_mm=1.4, unmoved=unmoved).value_d

    for index, slope in enumerate(predict_final(EYES[name], at, outside_mm=1.4, unmoved=unmoved).gradient):
        step = 1e-4
        change = (value(shifted(at, index, step)) - value(shifted(at, index, -step))) / (2 * step)
        assert slope == pytest.approx(change, abs=2e-6), UNKNOWNS[index]


@pytest.mark.parametrize("name", EYES)
def test_at_the_reference_state_the_base_formula_itself_is_predicted(name: str) -> None:
    eye = EyeModel(EYES[name].axial_length_mm, EYES[name].lens_position_mm, EYES[name].corneal_power_d,
                   EYES[name].lens_power_d)
    expected = refraction_d(
        axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d, lens_power_d=eye.lens_power_d,
    )
    travelling = shifted(ZERO, INDEX["travel_ratio"], 0.2)
    assert predict_final(eye, travelling, outside_mm=2.0, unmoved=False).value_d == expected


def test_signs_of_position() -> None:
    """Drawing out brings the optic forward; deeper entries and shorter tunnels put it back."""
    eye = EyeModel(23.7, 5.3, 44.0, 21.0, entry_mm=2.5, tunnel_mm=1.0)

    def position(outside_mm: float = 2.0, **values: float) -> float:
        unknowns = tuple(values.get(name, 0.0) for name in UNKNOWNS)
        return lens_position_mm(eye, unknowns, outside_mm=outside_mm, slip=True)

    assert position(3.0, travel_ratio=0.2) == pytest.approx(5.3 - 0.2)
    assert position(1.0, travel_ratio=0.2) == pytest.approx(5.3 + 0.2)
    assert position(entry_effect=0.4) == pytest.approx(5.3 + 0.4 * 0.5)
    assert position(tunnel_effect=0.2) == pytest.approx(5.3 + 0.2 * 1.0)
    assert position(slip_mm=0.1) == pytest.approx(5.4)


def test_what_belongs_to_a_reading_only_and_what_to_the_final_only() -> None:
    eye = EYES["ordinary"]
    reading = predict_reading(eye, ZERO, outside_mm=2.4, instrument="retinoscope", latest=True).gradient
    final = predict_final(eye, ZERO, outside_mm=2.4, unmoved=True).gradient
    only_reading = {"reading_bias_d:retinoscope", "drift_d"}
    for name in UNKNOWNS:
        if name in only_reading:
            assert (reading[INDEX[name]], final[INDEX[name]]) == (1.0, 0.0)
        elif name == "settle_d":
            assert (reading[INDEX[name]], final[INDEX[name]]) == (0.0, 1.0)
        else:
            assert reading[INDEX[name]] == final[INDEX[name]]
