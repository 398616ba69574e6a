"""Requests for each operation, drawn from wide but plausible ranges with a fixed seed.

About one in twelve is spoiled on purpose, so that errors are compared too. Every
operation that ``describe`` lists needs an entry here; a test says so.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

Payload = dict[str, Any]
SPOILED_SHARE = 1 / 12


def _maybe(draw: random.Random, value: Any, share: float = 0.5) -> Any:
    return value if draw.random() < share else None


def _cornea(draw: random.Random) -> Payload:
    if draw.random() < 0.3:
        return {"r1_mm": draw.uniform(6.6, 8.6), "r2_mm": draw.uniform(6.6, 8.6)}
    return {"k1_d": draw.uniform(36, 50), "k2_d": draw.uniform(36, 50)}


def _constants(draw: random.Random) -> Payload:
    constants: Payload = {"a": draw.uniform(117.5, 119.8)}
    optional = {
        "pacd_mm": draw.uniform(4.6, 6.2), "surgeon_factor_mm": draw.uniform(0.9, 2.4),
        "a0": draw.uniform(-1.5, 1.5), "a1": draw.uniform(0.0, 0.5), "a2": draw.uniform(0.05, 0.25),
    }
    return constants | {name: value for name, value in optional.items() if draw.random() < 0.25}


def _biometry(draw: random.Random) -> Payload:
    return {
        "axial_length_mm": draw.uniform(18.5, 32.0),
        **_cornea(draw),
        "phakic_acd_mm": _maybe(draw, draw.uniform(2.2, 4.2)),
        "constants": _constants(draw),
    }


def _spoil(draw: random.Random, payload: Payload) -> Payload:
    """Take a field away, or put something impossible in its place."""
    if draw.random() > SPOILED_SHARE or not payload:
        return payload
    name = draw.choice(sorted(payload))
    wrong = draw.choice([None, "abc", -9e9, [], {"unknown": 1}, True])
    return {**payload, name: wrong}


def _describe(draw: random.Random) -> Payload:
    return {} if draw.random() > SPOILED_SHARE else {"unknown": draw.random()}


def _power(draw: random.Random) -> Payload:
    return {
        **_biometry(draw),
        "target_d": draw.uniform(-4, 1.5),
        "vertex_mm": draw.choice([12, 12, draw.uniform(0, 15)]),
        "lens_power_d": _maybe(draw, draw.choice([*range(-10, 46)]) + 0.5),
    }


def _vergence_power(draw: random.Random) -> Payload:
    return {
        "present_refraction_d": draw.uniform(-15, 20),
        "target_d": draw.uniform(-4, 2),
        "k_d": draw.uniform(36, 50),
        "lens_position_mm": draw.uniform(3.0, 6.5),
        "vertex_mm": draw.choice([12, 14]),
    }


def _refraction(draw: random.Random) -> Payload:
    return {
        "sphere_d": draw.uniform(-15, 15),
        "cylinder_d": draw.uniform(-6, 6),
        "axis_deg": _maybe(draw, draw.uniform(0, 180), 0.9),
        "vertex_mm": draw.choice([12, 13.75]),
    }


def _audit(draw: random.Random) -> Payload:
    rows = []
    for _ in range(draw.choice([0, 1, 2, 7, 30, 120])):
        predicted = draw.uniform(-2, 0.5)
        rows.append({"predicted_d": predicted, "achieved_d": predicted + draw.gauss(-0.1, 0.6)})
    return {"rows": rows}


def _tilt(draw: random.Random) -> Payload:
    return {
        "axial_length_mm": draw.uniform(20, 30), "k1_d": draw.uniform(38, 48),
        "k2_d": draw.uniform(38, 48), "lens_power_d": draw.uniform(5, 30),
        "lens_index": draw.choice([1.46, 1.49, 1.55]), "tilt_deg": draw.uniform(0, 15),
        "tilt_axis_deg": draw.uniform(0, 360), "decentre_mm": draw.uniform(0, 1),
        "decentre_axis_deg": draw.uniform(0, 360), "pupil_mm": draw.uniform(2, 5),
    }


def _reading(draw: random.Random, outside_mm: list[float]) -> Payload:
    reading: Payload = {
        "outside_mm": outside_mm,
        "instrument": draw.choice(["aberrometer", "retinoscope", "autorefractor"]),
    }
    if draw.random() < 0.5:
        return reading | {"refraction_d": draw.uniform(-4, 3)}
    return reading | {"sphere_d": draw.uniform(-4, 3), "cylinder_d": -draw.uniform(0, 3),
                      "axis_deg": draw.randrange(1, 181)}


def _advise(draw: random.Random) -> Payload:
    readings = []
    for _ in range(draw.randrange(5)):
        base = draw.uniform(1, 3)
        readings.append(_reading(draw, [base, base + draw.uniform(-0.5, 0.5)]))
    return {
        **_biometry(draw),
        "axial_method": draw.choice(["optical", "immersion", "contact"]),
        "formula": draw.choice(["srkt", "holladay1", "hoffer_q", "haigis"]),
        "lens_power_d": draw.choice(range(8, 30)) + draw.choice([0, 0.5]),
        "target_d": draw.choice([0, -0.25, -0.5, -2]),
        "readings": readings,
        "haptic": {"drawn_out_mm": draw.uniform(2, 3.2), "melt_mm": draw.choice([1, 0.8]),
                   "bury_mm": draw.choice([0.3, 0.1])},
    }


GENERATORS: dict[str, Callable[[random.Random], Payload]] = {
    "describe": _describe,
    "advise": _advise,
    "power": _power,
    "vergence_power": _vergence_power,
    "refraction": _refraction,
    "audit": _audit,
    "tilt": _tilt,
}


def requests(operation: str, count: int, seed: int = 20_260_101) -> list[dict[str, Any]]:
    """``count`` whole requests of one operation, the same on every run."""
    draw = random.Random(f"{operation} {seed}")
    make = GENERATORS[operation]
    return [{"id": f"{operation} {number}", "operation": operation, "payload": _spoil(draw, make(draw))}
            for number in range(count)]
