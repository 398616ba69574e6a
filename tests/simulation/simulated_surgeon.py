"""Finished eyes of a simulated surgeon, drawn unknown by unknown from stated spreads.

The truth is drawn here with its own arithmetic; only the thin-lens refraction is the
program's. Own deviations are fixed for a surgeon; everything else differs between eyes.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

from pycore.belief.eye import EyeModel
from pycore.belief.priors import default_priors
from pycore.belief.readings import Reading
from pycore.belief.surgeon_eye import LearningEye
from pycore.optics.vergence import lens_power_d, refraction_d

#: Between-eye spreads of the model, written out again.
BETWEEN = {"length": 0.03, "cornea": 0.20, "position": 0.447, "travel": 0.0566, "bias": 0.1414,
           "settle": 0.20}
SLIP_MM, DRIFT_D, EXECUTION_MM = 0.08, 0.10, 0.25 / math.sqrt(2)
NOISE_D = {"aberrometer": 0.25, "retinoscope": 0.45, "autorefractor": 0.30}


@dataclass(frozen=True)
class Surgeon:
    """Deviations that all of this surgeon's eyes share, and how much wider than usual they are."""

    position_mm: float = 0.0
    travel: float = 0.20
    settle_d: float = 0.0
    bias_d: float = 0.0
    wider: float = 1.0
    noise_d: dict[str, float] = field(default_factory=lambda: dict(NOISE_D))


def eyes(surgeon: Surgeon, count: int, seed: int, *, instrument: str = "aberrometer",
         outliers: float = 0.0) -> list[LearningEye]:
    """``count`` eyes with readings drawn out, pushed in and between, and a follow-up."""
    source = random.Random(f"surgeon {seed}")
    return [_eye(surgeon, source, number, instrument, outliers) for number in range(count)]


def _eye(surgeon: Surgeon, source: random.Random, number: int, instrument: str,
         outliers: float) -> LearningEye:
    model = _planned(source)
    spread = {name: source.gauss(0.0, sd * surgeon.wider) for name, sd in BETWEEN.items()}
    label = source.gauss(0.0, 0.2 if model.lens_power_d <= 25 else 0.25)
    travel = max(surgeon.travel + spread["travel"], 0.0)

    def truth(outside_mm: float, slip_mm: float) -> float:
        place = model.lens_position_mm + surgeon.position_mm + spread["position"] + slip_mm
        return refraction_d(
            axial_length_mm=model.axial_length_mm + spread["length"],
            lens_position_mm=place - travel * (outside_mm - 2.0),
            corneal_power_d=model.corneal_power_d + spread["cornea"],
            lens_power_d=model.lens_power_d + label,
        )

    readings = []
    for placement, outside in enumerate((2.5, 1.0, 1.8)):
        shift = source.gauss(0.0, DRIFT_D) + surgeon.bias_d + spread["bias"]
        seen = truth(outside, source.gauss(0.0, SLIP_MM)) + shift
        seen += source.gauss(0.0, surgeon.noise_d[instrument])
        readings.append(Reading(outside, seen, instrument, NOISE_D[instrument], placement))
    final = source.choice((0.7, 1.4, 2.0, 2.5))
    reached = final + source.gauss(0.0, EXECUTION_MM)
    follow_up = truth(reached, source.gauss(0.0, SLIP_MM)) + surgeon.settle_d + spread["settle"]
    if source.random() < outliers:
        follow_up += source.choice((-3.0, 3.0))
    return LearningEye(
        code=f"EYE-{number:04d}", on=f"2026-{1 + number // 28 % 12:02d}-{1 + number % 28:02d}",
        eye=model,
        priors=default_priors(axial_method="optical", lens_power_d=model.lens_power_d),
        readings=tuple(readings), final_outside_mm=final, follow_up_d=follow_up,
    )


def _planned(source: random.Random) -> EyeModel:
    length, cornea, position = source.gauss(23.6, 1.0), source.gauss(43.5, 1.5), source.gauss(5.3, 0.2)
    length = min(max(length, 21.0), 28.0)
    power = lens_power_d(axial_length_mm=length, lens_position_mm=position, corneal_power_d=cornea,
                         refraction_d=-0.5)
    return EyeModel(length, position, cornea, round(power * 2) / 2)
