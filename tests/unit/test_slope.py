"""The slope of the readings: its value, its own noise, the sign expected, and the question asked."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from pycore.api.boundary import answer
from pycore.belief.eye import EyeModel
from pycore.belief.readings import Reading
from pycore.optics.vergence import refraction_and_slopes
from pycore.planning.slope import slope_d_per_mm, slope_of
from tests.simulation.cohort.advised import first_case
from tests.simulation.cohort.by_hand import read_ends
from tests.simulation.cohort.eyes import draw
from tests.simulation.cohort.scenarios import SCENARIOS

PLUS, MINUS = EyeModel(23.7, 5.3, 44.0, 20.5), EyeModel(33.0, 5.3, 44.0, -4.0)


def reading(outside_mm: float, refraction_d: float, placement: int = 0, length_sd_mm: float = 0.0) -> Reading:
    return Reading(outside_mm, refraction_d, "aberrometer", 0.25, placement, length_sd_mm)


def per_mm(eye: EyeModel) -> float:
    return refraction_and_slopes(
        axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d, lens_power_d=eye.lens_power_d).per_lens_position


def test_slope_of_the_readings() -> None:
    assert slope_d_per_mm([]) is None
    assert slope_d_per_mm([reading(2.0, -0.5), reading(2.0, -0.7)]) is None
    falling = [reading(1.0, 0.0), reading(2.0, -0.3), reading(3.0, -0.6)]
    assert slope_d_per_mm(falling) == pytest.approx(-0.3)


def test_noise_of_two_ends_and_of_a_repeat() -> None:
    """Two placements 1.5 mm apart; a repeat halves the reading noise there, not drift and slip."""
    shared = 0.10**2 + (0.08 * per_mm(PLUS)) ** 2
    two = slope_of(PLUS, [reading(2.5, 0.0, 0), reading(1.0, 0.0, 1)], travel_ratio=0.2)
    assert two is not None
    assert two.sd == pytest.approx(math.sqrt(2 * 0.25**2 + 2 * shared) / 1.5)
    three = slope_of(PLUS, [reading(2.5, 0.0, 0), reading(2.5, 0.0, 0), reading(1.0, 0.0, 1)], travel_ratio=0.2)
    assert three is not None
    assert three.sd == pytest.approx(math.sqrt(1.5 * 0.25**2 + 2 * shared) / 1.5)


def test_an_assumed_length_widens_the_slope_by_what_the_optic_would_move() -> None:
    ends = [reading(2.5, 0.0, 0, 0.4), reading(1.0, 0.0, 1, 0.4)]
    sure = [reading(2.5, 0.0, 0), reading(1.0, 0.0, 1)]
    found, plain = slope_of(PLUS, ends, travel_ratio=0.2), slope_of(PLUS, sure, travel_ratio=0.2)
    assert found is not None and plain is not None
    more = 2 * (0.4 * 0.2 * per_mm(PLUS) / 1.5) ** 2
    assert found.sd**2 - plain.sd**2 == pytest.approx(more)


@pytest.mark.parametrize(("eye", "change_d", "against"), [
    (PLUS, -0.4, False), (PLUS, 0.4, True), (MINUS, 0.4, False), (MINUS, -0.4, True)])
def test_the_expected_sign_turns_with_the_lens(eye: EyeModel, change_d: float, against: bool) -> None:
    """Drawn out less pushed in: negative with a plus lens, positive with a minus lens."""
    found = slope_of(eye, [reading(2.5, change_d, 0), reading(1.0, 0.0, 1)], travel_ratio=0.2)
    assert found is not None
    assert (found.against_d_per_mm > 0.0) is against
    assert found.d_per_mm == pytest.approx(change_d / 1.5)


def test_the_sign_is_the_core_s_own() -> None:
    """Forward is myopic with a plus lens and hyperopic with a minus lens."""
    assert per_mm(PLUS) > 0.0 > per_mm(MINUS)


def asked(change_d: float, **changes: Any) -> dict[str, str]:
    """Warnings about the slope when drawing out changes the reading by ``change_d``."""
    answered = answer("advise", {
        "axial_length_mm": 23.6, "k1_d": 43.0, "k2_d": 44.0, "axial_method": "optical", "formula": "holladay1",
        "constants": {"a": 118.7}, "lens_power_d": 21.0, "target_d": -0.5, "haptic": {"drawn_out_mm": 2.5},
        "readings": [
            {"outside_mm": [2.5, 2.5], "refraction_d": -0.6 + change_d, "instrument": "aberrometer"},
            {"outside_mm": [1.0, 1.0], "refraction_d": -0.6, "instrument": "aberrometer"}],
        **changes})
    return {one["code"]: one["message"] for one in answered["warnings"] if one["code"].startswith("slope")}


@pytest.mark.parametrize(("change_d", "code"), [
    (-0.4, None), (-0.05, None), (0.1, "slope_within_noise"), (0.35, "slope_within_noise"),
    (0.5, "slope_against_sign"), (1.2, "slope_against_sign")])
def test_the_question_comes_in_degrees(change_d: float, code: str | None) -> None:
    """About 0.43 D between the ends is one SD: 0.25 D twice, 0.10 D drift and 0.08 mm slip twice."""
    found = asked(change_d)
    assert list(found) == ([code] if code else [])
    for message in found.values():
        assert "more hyperopic; more myopic is expected" in message
        for cause in ("stuck", "one side moved", "soft eye", "caught by the iris", "upside-down?"):
            assert cause in message


MINUS_EYE = {"axial_length_mm": 33.0, "lens_power_d": -4.0}


def test_a_minus_lens_is_asked_about_the_other_sign() -> None:
    assert asked(+0.7, **MINUS_EYE) == {}
    message = asked(-0.7, **MINUS_EYE)["slope_against_sign"]
    assert "more myopic; more hyperopic is expected" in message


def test_where_the_haptics_have_no_reach_noise_is_not_worth_a_word() -> None:
    weak = {"axial_length_mm": 28.5, "lens_power_d": 5.0}
    assert asked(0.1, **weak) == {}
    assert list(asked(0.7, **weak)) == ["slope_against_sign"]


def test_ordinary_eyes_are_seldom_asked_firmly_and_flipped_lenses_often() -> None:
    """The virtual cohort, both ends read once.

    About a fifth of ordinary eyes read the wrong way by noise alone, and a lens upside-down
    does in most eyes; the firm question is for a third of the former at most.
    """
    shares = {name: _shares(name) for name in ("plain", "flipped")}
    firm, soft = shares["plain"]
    assert 0.15 < firm + soft < 0.27
    assert firm < (firm + soft) / 3
    assert shares["flipped"][0] > 0.40
    assert sum(shares["flipped"]) > 0.75


def _shares(scenario: str) -> tuple[float, float]:
    """Shares of virtual eyes whose slope is against the sign beyond its noise, and within it."""
    world = SCENARIOS[scenario].world
    eyes = draw(world, count=1500, seed=5)
    ends = read_ends(eyes, world)
    slopes = [slope_of(case.eye, case.readings, travel_ratio=0.2)
              for case in (first_case(eyes, world, ends, row) for row in range(len(eyes)))]
    found = [one for one in slopes if one is not None]
    return (float(np.mean([one.beyond_noise for one in found])),
            float(np.mean([one.within_noise for one in found])))
