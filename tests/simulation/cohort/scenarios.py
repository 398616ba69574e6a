"""Scenarios: the plain world, and worlds that break what the product believes.

The product is never told, unless the name says "declared": it keeps its own beliefs and is
judged by what really happens.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from tests.simulation.cohort.world import World


@dataclass(frozen=True, slots=True)
class Scenario:
    """A world and what is particular about it.

    ``own_lens``: the bench also plays the policy that lets the product choose the lens,
    which takes as long as all others together. ``thresholds``: and another lens offered from
    smaller residuals than the product's.
    """

    name: str
    about: str
    world: World
    own_lens: bool = False
    thresholds: bool = False


def _scenario(
    name: str, about: str, *, own_lens: bool = False, thresholds: bool = False, **changes: Any
) -> Scenario:
    return Scenario(name, about, replace(World(), **changes), own_lens, thresholds)


SCENARIOS = {
    scenario.name: scenario
    for scenario in (
        _scenario("plain", "Spreads as published or assumed", own_lens=True, thresholds=True),
        _scenario("gross", "5 % of readings wild, 1 to 4 D off either way", gross_chance=0.05,
                  gross_wild=True),
        _scenario("slip_drift", "Slip 0.20 mm and drift 0.25 D, undeclared", slip_sd_mm=0.20,
                  drift_sd_d=0.25),
        _scenario("saturating", "Optic follows less and less toward both ends",
                  travel_gives_out_mm=0.6),
        _scenario("instrument_off", "Aberrometer reads 0.3 D too hyperopic", bias_shift_d=0.3),
        _scenario("noise_double", "Reading noise 0.50 D, declared as 0.25", noise_times=2.0),
        _scenario("deep_surgeon", "Lenses sit 0.5 mm deep", position_shift_mm=0.5),
        _scenario("spread_025", "Eye-to-eye lens position SD 0.25 mm", position_eye_sd_mm=0.25),
        _scenario("spread_060", "Eye-to-eye lens position SD 0.60 mm", position_eye_sd_mm=0.60),
        _scenario("settle_045", "Table-to-one-month SD 0.45 D",
                  settle_eye_sd_d=(0.45**2 - 0.15**2) ** 0.5),
        _scenario("one_flange", "One flange made before reading (declared)", first_flanged=True),
        _scenario("soft_eye", "Second reading in an eye 30 mmHg softer", soft_second_reading_d=0.45),
        _scenario("flipped", "Lens upside-down: 0.5 mm forward, moves the other way",
                  travel_sign=-1.0, position_shift_mm=-0.5),
        _scenario("retinoscope", "Retinoscope (declared)", instrument="retinoscope", own_lens=True,
                  thresholds=True),
        _scenario("outreach", "Contact scan, hand-held keratometer, retinoscope (declared)",
                  axial_method="contact", keratometry_method="hand_held", instrument="retinoscope"),
        _scenario("longer_reach", "Haptics can be drawn out 3.5 mm", drawn_out_mm=3.5,
                  own_lens=True),
        _scenario("longer_retinoscope", "The same with a retinoscope (declared)", drawn_out_mm=3.5,
                  instrument="retinoscope"),
        _scenario("long_eyes", "Long eyes, little reach", axial_length_mm=28.0,
                  axial_length_sd_mm=1.0, axial_length_least_mm=26.5, axial_length_most_mm=32.0,
                  axial_keratometry_correlation=0.0),
    )
}
