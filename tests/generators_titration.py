"""Requests for ``advise``: eyes, readings that mostly follow them, and haptics in every state."""

from __future__ import annotations

import random
from typing import Any, Final

from tests.generators import Payload, cornea, generator, lens_constants, sometimes, step

_INSTRUMENTS: Final = ("aberrometer", "retinoscope", "autorefractor")
_UNKNOWNS: Final = ("axial_length_mm", "corneal_power_d", "lens_position_mm", "lens_label_d", "settle_d",
                    "entry_effect", "tunnel_effect", "reading_bias_d")


@generator("advise")
def advise(source: random.Random) -> Payload:
    """Mostly an ordinary eye with up to four readings; one in five anything possible."""
    possible = source.random() < 0.2
    length = step(source, 20.0, 32.0, 0.01) if possible else step(source, 21.5, 26.0, 0.01)
    drawn_out = step(source, 2.0, 3.5, 0.1)
    haptic = _haptic(source, drawn_out)
    power = round(2 * min(max(21.0 - 3.0 * (length - 23.5), -4.0), 40.0)) / 2
    target = step(source, -3.0, 0.5, 0.125)
    return {
        "axial_length_mm": length,
        **cornea(source),
        "axial_method": source.choice(["optical", "immersion", "contact"]),
        **sometimes(source, 0.2, keratometry_method="hand_held"),
        **sometimes(source, 0.2, cornea=source.choice(["scar", "keratoplasty", "refractive_surgery"])),
        **sometimes(source, 0.8, formula=source.choice(["srkt", "holladay1", "hoffer_q", "haigis"])),
        "phakic_acd_mm": step(source, 2.4, 4.0, 0.01),
        "constants": lens_constants(source),
        "lens_power_d": power,
        "target_d": target,
        **sometimes(source, 0.2, entry_mm=[step(source, 1.5, 3.0, 0.1), step(source, 1.5, 3.0, 0.1)]),
        **sometimes(source, 0.2, tunnel_mm=[step(source, 1.0, 3.0, 0.1), step(source, 1.0, 3.0, 0.1)]),
        "readings": _readings(source, haptic["removed_mm"], drawn_out, target + source.gauss(0.3, 0.8)),
        "haptic": haptic,
        **sometimes(source, 0.2, belief=_belief(source)),
    }


def _haptic(source: random.Random, drawn_out_mm: float) -> Payload:
    """Haptics in any state; whatever has a flange has lost some length."""
    state = source.choice(["both_free", "both_free", "both_free", "one_flanged", "both_flanged", "buried"])
    melt = step(source, 0.5, 1.2, 0.1)
    flanged = {"both_free": 0, "one_flanged": 1}.get(state, 2)
    removed = [step(source, 0.5, 1.5, 0.1) if side < flanged else 0.0 for side in (0, 1)]
    first = step(source, 1.4, 2.0, 0.1)
    second = round(first + source.choice([-0.2, 0.2]), 6)
    return {
        "drawn_out_mm": drawn_out_mm,
        "melt_mm": melt,
        **sometimes(source, 0.5, bury_mm=step(source, 0.0, 0.6, 0.1)),
        "removed_mm": removed,
        "haptic_state": state,
        **sometimes(source, 0.3, centred_outside_mm=[first, second]),
    }


def _readings(
    source: random.Random, removed_mm: list[float], drawn_out_mm: float, level_d: float
) -> list[Payload]:
    """Up to four readings, one in twenty of them gross."""
    instrument = source.choice(_INSTRUMENTS)
    return [
        _reading(source, instrument, removed_mm, drawn_out_mm, level_d)
        for _ in range(source.choice([0, 1, 2, 2, 3, 4]))
    ]


def _reading(
    source: random.Random, instrument: str, removed_mm: list[float], drawn_out_mm: float, level_d: float
) -> Payload:
    outside = step(source, 0.9, drawn_out_mm, 0.1)
    error = source.gauss(0.0, 0.3) + (source.gauss(0.0, 2.0) if source.random() < 0.05 else 0.0)
    seen = round((level_d - 0.27 * (outside - 2.0) + error) * 8) / 8
    return {
        **_where(source, outside, removed_mm),
        **_refraction(source, seen),
        "instrument": instrument,
        **sometimes(source, 0.2, iop_mmhg=source.randint(8, 30), fill="saline", infusion="closed"),
        **sometimes(source, 0.1, noise_sd_d=step(source, 0.1, 1.0, 0.05)),
    }


def _where(source: random.Random, outside_mm: float, removed_mm: list[float]) -> Payload:
    """Measured lengths as they are now, or a named end."""
    if source.random() < 0.25:
        return {"length_basis": source.choice(["drawn_out", "pushed_in"]), "removed_mm": removed_mm}
    now = [round(outside_mm - removed, 6) for removed in removed_mm]
    return {"outside_mm": now, "removed_mm": removed_mm}


def _refraction(source: random.Random, seen_d: float) -> Payload:
    """The spherical equivalent itself, or a sphere and a minus cylinder that amount to it."""
    if source.random() < 0.7:
        return {"refraction_d": seen_d}
    cylinder = step(source, -2.0, 0.0, 0.25)
    return {"sphere_d": seen_d - cylinder / 2, "cylinder_d": cylinder, "axis_deg": source.randint(0, 180)}


def _belief(source: random.Random) -> Payload:
    chosen: dict[str, Any] = {
        name: {"mean": step(source, -0.2, 0.2, 0.01), "sd": step(source, 0.0, 0.6, 0.01)}
        for name in source.sample(_UNKNOWNS, 2)
    }
    travel = {"mean": step(source, 0.05, 0.4, 0.01), "sd": step(source, 0.0, 0.12, 0.01)}
    return {**chosen, **sometimes(source, 0.5, travel_ratio=travel)}
