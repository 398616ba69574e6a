"""Lens constants: the published anchors, and which constant wins.

Numbers: Holladay JT et al., 2003 (as quoted in a secondary text), Haigis W et al., 2000 (from
memory). The same anchors with tolerances are in checks_constants.py.
"""

from __future__ import annotations

import pytest

from pycore.errors import MissingField
from pycore.formulas import FORMULAS, Biometry, LensConstants, constants

EYE = Biometry(23.5, 43.0, 44.0, 3.1)


def test_published_average_eye() -> None:
    """A 118.5 = ACD 5.26 mm = SF 1.51 mm."""
    assert round(constants.pacd_from_a_mm(118.5), 2) == 5.26
    assert round(constants.surgeon_factor_from_a_mm(118.5), 2) == 1.51


def test_haigis_intercept_follows_from_the_mean_eye() -> None:
    """0.62467 A - 72.434 = SRK/T's line less 0.4 x 3.37 and 0.1 x 23.39."""
    for a in (110.0, 118.7, 125.0):
        assert constants.haigis_a0_from_a(a) == pytest.approx(0.62467 * a - 72.434, abs=1e-9)


def test_srkt_and_holladay_lines_are_kept_apart() -> None:
    """At A 118.7 they give 5.401 and 5.374 mm."""
    apart = constants.srkt_acd_from_a_mm(118.7) - constants.pacd_from_a_mm(118.7)
    assert apart == pytest.approx(5.401 - 5.374, abs=0.001)


@pytest.mark.parametrize(("formula", "explicit"), [
    ("holladay1", {"surgeon_factor_mm": 2.0}), ("hoffer_q", {"pacd_mm": 6.0}), ("haigis", {"a0": 0.9}),
])
def test_explicit_constant_wins_over_the_converted_one(formula: str, explicit: dict[str, float]) -> None:
    entry = FORMULAS[formula]
    alone, both, converted = (
        entry.predict(EYE, LensConstants(**given)).lens_position_mm
        for given in (explicit, {"a": 118.7, **explicit}, {"a": 118.7})
    )
    assert alone == both
    assert alone != converted
    assert entry.constants_used(LensConstants(a=118.7, **explicit)) | explicit == entry.constants_used(
        LensConstants(a=118.7, **explicit))


@pytest.mark.parametrize(("formula", "field"), [
    ("srkt", "constants.a"), ("holladay1", "constants.surgeon_factor_mm"),
    ("hoffer_q", "constants.pacd_mm"), ("haigis", "constants.a0"),
])
def test_missing_constant_is_named(formula: str, field: str) -> None:
    with pytest.raises(MissingField) as caught:
        FORMULAS[formula].predict(EYE, LensConstants(a1=0.4))
    assert caught.value.field == field


def test_slopes_without_a0_keep_the_mean_eye_and_are_cautioned() -> None:
    mean_eye = Biometry(23.39, 43.0, 44.0, 3.37)
    unusual = FORMULAS["haigis"].predict(mean_eye, LensConstants(a=118.7, a1=0.2, a2=0.2))
    standard = FORMULAS["haigis"].predict(mean_eye, LensConstants(a=118.7))
    assert unusual.lens_position_mm == pytest.approx(standard.lens_position_mm, abs=1e-12)
    assert {code for code, _ in unusual.cautions} == {"haigis_a0_from_a", "haigis_slopes_without_a0"}
    explicit = FORMULAS["haigis"].predict(mean_eye, LensConstants(a=118.7, a1=0.4, a2=0.1))
    assert explicit == standard
