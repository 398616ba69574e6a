"""Requests for ``tilt`` and ``entries``."""

from __future__ import annotations

import random

from tests.generators import Payload, generator, sometimes, step


@generator("tilt")
def tilt(source: random.Random) -> Payload:
    """An ordinary eye and pose, with a lens within six dioptres of what the eye needs."""
    length, flat = step(source, 20.0, 30.0, 0.01), step(source, 40.0, 45.0, 0.01)
    needed = round(2 * (118.7 - 2.5 * length - 0.9 * flat)) / 2
    return {
        "axial_length_mm": length,
        "k1_d": flat,
        "k2_d": round(flat + step(source, 0.0, 2.0, 0.01), 6),
        "lens_power_d": needed + step(source, -6.0, 6.0, 0.5),
        "lens_index": step(source, 1.42, 1.56, 0.01),
        "tilt_deg": step(source, 0.0, 15.0, 0.5),
        "tilt_axis_deg": source.randint(0, 360),
        "decentre_mm": step(source, 0.0, 1.0, 0.05),
        "decentre_axis_deg": source.randint(0, 360),
        "pupil_mm": step(source, 2.0, 6.0, 0.5),
    }


@generator("entries")
def entries(source: random.Random) -> Payload:
    """Both entries of one eye, with and without a lens."""
    entry, tunnel = step(source, 1.0, 3.0, 0.1), step(source, 1.0, 3.0, 0.1)
    return {
        "limbus_horizontal_mm": step(source, 10.8, 12.8, 0.1),
        "limbus_vertical_mm": step(source, 10.2, 12.4, 0.1),
        "meridian_deg": source.choice([0, 15, 20, 45, 90, 180, source.randint(0, 180)]),
        "entry_mm": [entry, round(entry + source.choice([0.0, 0.0, 0.3, 0.5]), 6)],
        **sometimes(source, 0.5, tunnel_mm=[tunnel, round(tunnel + source.choice([0.0, 0.5]), 6)]),
        **sometimes(source, 0.5, lens_length_mm=step(source, 12.0, 13.8, 0.1)),
        **sometimes(source, 0.4, haptic_length_mm=step(source, 3.0, 8.5, 0.1)),
        **sometimes(source, 0.4, optic_diameter_mm=step(source, 5.5, 7.0, 0.5)),
        **sometimes(source, 0.4, melt_mm=step(source, 0.8, 2.0, 0.1)),
    }
