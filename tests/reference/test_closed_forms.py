"""The core against second implementations in the papers' own closed forms.

Consistency, not proof: both were written from the same equations. Random eyes cover every
branch, and a test makes sure that they do.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest

from pycore.formulas import FORMULAS, Biometry, LensConstants
from pycore.optics.vergence import lens_power_d, refraction_d
from tests.reference import closed_forms

SRKT_A, SURGEON_FACTOR, PACD = 118.7, 1.62, 5.37


@dataclass(frozen=True)
class Eye:
    length: float
    k: float
    constant: float
    depth: float | None
    target: float
    power: float


def eyes(seed: int, count: int = 2000) -> Iterator[Eye]:
    """Random eyes over everything that is computed; constants as offsets from an ordinary one."""
    source = random.Random(seed)
    for _ in range(count):
        yield Eye(
            length=source.uniform(14.0, 40.0),
            k=source.uniform(28.0, 65.0),
            constant=source.uniform(-2.5, 1.5),
            depth=source.choice([None, source.uniform(1.5, 6.0)]),
            target=source.choice([0.0, source.uniform(-12.0, 6.0)]),
            power=source.choice([0.0, source.uniform(-10.0, 35.0)]),
        )


CASES: dict[str, tuple[Callable[[Eye], LensConstants], Callable[..., float]]] = {
    "srkt": (
        lambda eye: LensConstants(a=SRKT_A + 2 * eye.constant),
        lambda eye, **ask: closed_forms.srkt(eye.length, eye.k, SRKT_A + 2 * eye.constant, **ask),
    ),
    "holladay1": (
        lambda eye: LensConstants(surgeon_factor_mm=SURGEON_FACTOR + eye.constant),
        lambda eye, **ask: closed_forms.holladay1(eye.length, eye.k, SURGEON_FACTOR + eye.constant, **ask),
    ),
    "hoffer_q": (
        lambda eye: LensConstants(pacd_mm=PACD + eye.constant),
        lambda eye, **ask: closed_forms.hoffer_q(eye.length, eye.k, PACD + eye.constant, **ask),
    ),
    "haigis": (
        lambda eye: LensConstants(a0=1.2 + eye.constant, a1=0.35, a2=0.12),
        lambda eye, **ask: closed_forms.haigis(
            eye.length, eye.k, 1.2 + eye.constant, 0.35, 0.12, eye.depth, **ask),
    ),
}


def _thin(name: str, eye: Eye) -> dict[str, float]:
    constants = CASES[name][0](eye)
    thin = FORMULAS[name].predict(Biometry(eye.length, eye.k, eye.k, eye.depth), constants)
    return {
        "axial_length_mm": thin.axial_length_mm,
        "lens_position_mm": thin.lens_position_mm,
        "corneal_power_d": thin.corneal_power_d,
    }


@pytest.mark.parametrize("name", CASES)
def test_power_agrees(name: str) -> None:
    for eye in eyes(1):
        ours = lens_power_d(**_thin(name, eye), refraction_d=eye.target)
        theirs = CASES[name][1](eye, refraction=eye.target)
        assert ours == pytest.approx(theirs, rel=1e-10, abs=1e-9), eye


@pytest.mark.parametrize("name", CASES)
def test_refraction_agrees(name: str) -> None:
    for eye in eyes(2):
        ours = refraction_d(**_thin(name, eye), lens_power_d=eye.power)
        theirs = CASES[name][1](eye, power=eye.power)
        assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-9), eye


def test_random_eyes_reach_every_branch() -> None:
    cautions: set[str] = set()
    negative = {"power": 0, "surgeon factor": 0, "no depth": 0, "up to 24.2": 0, "over 24.2": 0,
                "up to 23": 0, "over 23": 0}
    for eye in eyes(1):
        for name, (constants, _) in CASES.items():
            thin = FORMULAS[name].predict(Biometry(eye.length, eye.k, eye.k, eye.depth), constants(eye))
            cautions.update(code for code, _message in thin.cautions)
        negative["power"] += closed_forms.srkt(eye.length, eye.k, SRKT_A, refraction=eye.target) < 0
        negative["surgeon factor"] += SURGEON_FACTOR + eye.constant < 0
        negative["no depth"] += eye.depth is None
        negative["up to 24.2"] += eye.length <= 24.2
        negative["over 24.2"] += eye.length > 24.2
        negative["up to 23"] += eye.length <= 23
        negative["over 23"] += eye.length > 23
    assert cautions == {
        "srkt_beyond_cusp", "srkt_near_cusp", "srkt_length_correction_turns", "holladay1_radius_limit",
        "holladay1_length_limit", "hoffer_q_length_limit", "haigis_without_phakic_depth",
    }
    assert all(count >= 100 for count in negative.values()), negative


def test_surgeon_factor_comes_back_from_the_refraction() -> None:
    """The paper's reverse solution recovers the constant that made the result."""
    source = random.Random(3)
    for _ in range(500):
        length, k = source.uniform(20.0, 30.0), source.uniform(38.0, 50.0)
        factor, power = source.uniform(-1.0, 3.0), source.uniform(3.0, 30.0)
        eye = FORMULAS["holladay1"].predict(
            Biometry(length, k, k), LensConstants(surgeon_factor_mm=factor))
        refraction = refraction_d(
            axial_length_mm=eye.axial_length_mm, lens_position_mm=eye.lens_position_mm,
            corneal_power_d=eye.corneal_power_d, lens_power_d=power)
        back = closed_forms.holladay1_surgeon_factor(length, k, power, refraction)
        assert back == pytest.approx(factor, abs=1e-7)
