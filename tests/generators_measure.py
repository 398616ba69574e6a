"""Requests for ``measurements``, ``second_route`` and ``media``."""

from __future__ import annotations

import random
from typing import Final

from tests.generators import Payload, cornea, generator, lens_constants, sometimes, step

_STATES: Final = ("phakic", "aphakic", "lens_out_of_beam", "pseudophakic", "phakic_oil", "aphakic_oil")
_TISSUES: Final = ("aqueous", "natural_lens", "vitreous", "acrylic", "pmma")
_FORMULAS: Final = ("srkt", "holladay1", "hoffer_q")


@generator("measurements")
def measurements(source: random.Random) -> Payload:
    """One eye with whatever could be measured; in one of eight nothing could."""
    return {
        **(_axial(source) if source.random() < 0.8 else {}),
        **(_cornea(source) if source.random() < 0.8 else {}),
        **sometimes(source, 0.4, chamber_depth_mm=step(source, 2.2, 4.2, 0.01), depth_from=source.choice(
            ["epithelium", "endothelium"])),
        **sometimes(source, 0.2, corneal_thickness_um=source.randint(480, 600)),
        **sometimes(source, 0.3, fellow={"axial_length_mm": step(source, 22.0, 25.0, 0.01), **cornea(source)}),
        **sometimes(source, 0.3, formula=source.choice(_FORMULAS)),
        "constants": lens_constants(source),
    }


def _axial(source: random.Random) -> Payload:
    method = source.choice(["optical", "immersion", "contact"])
    shown = step(source, 21.0, 27.0, 0.01)
    if method == "optical":
        return {"axial_length_mm": shown, "axial_method": method}
    if source.random() < 0.2:
        return {"axial_method": method, "segments": _segments(source)}
    return {
        "axial_length_mm": shown,
        "axial_method": method,
        **(_beam(source) if source.random() < 0.8 else {}),
    }


def _segments(source: random.Random) -> list[Payload]:
    front = {"tissue": "aqueous", "length_mm": step(source, 2.5, 4.0, 0.01), "velocity_m_s": 1550}
    back = {"tissue": source.choice(_TISSUES), "length_mm": step(source, 0.6, 4.5, 0.01), "velocity_m_s": 1532}
    return [front, back, {**front, "tissue": "vitreous", "length_mm": step(source, 15.0, 18.0, 0.01)}]


def _beam(source: random.Random) -> Payload:
    state = source.choice(_STATES)
    implant = {"lens_material": source.choice(["pmma", "acrylic", "silicone_lens", "glass"]),
               "lens_thickness_mm": step(source, 0.5, 1.3, 0.01)}
    return {"velocity_m_s": source.choice([1532, 1550, 1555]), "lens_state": state,
            **(implant if state == "pseudophakic" else {})}


def _cornea(source: random.Random) -> Payload:
    found = cornea(source)
    powers = "k1_d" in found
    after_laser = source.random() < 0.2
    return {
        **found,
        **(sometimes(source, 0.3, keratometer_index=source.choice([1.332, 1.3315, 1.336])) if powers else {}),
        **sometimes(source, 0.3, keratometry_method="hand_held"),
        **({"cornea": "refractive_surgery", **sometimes(source, 0.7, laser_for=source.choice(
            ["myopia", "hyperopia"]))} if after_laser else {}),
    }


@generator("second_route")
def second_route(source: random.Random) -> Payload:
    """An ordinary eye whose aphakic refraction mostly follows it, and sometimes does not."""
    length = step(source, 21.5, 27.0, 0.01)
    return {
        "axial_length_mm": length,
        **cornea(source),
        "axial_method": source.choice(["optical", "immersion", "contact"]),
        **sometimes(source, 0.5, formula=source.choice(_FORMULAS)),
        "constants": lens_constants(source),
        "target_d": step(source, -3.0, 0.5, 0.125),
        "aphakic": aphakic(source, length),
        **sometimes(source, 0.1, belief={"axial_length_mm": {"mean": 0.1, "sd": 0.2}}),
    }


def aphakic(source: random.Random, axial_length_mm: float) -> Payload:
    """A reading near what an eye of this length has, in steps of a quarter."""
    value = round(4 * (11.8 - 2.0 * (axial_length_mm - 23.5) + source.gauss(0.0, 0.8))) / 4
    instrument = source.choice(["aberrometer", "retinoscope", "autorefractor"])
    cylinder = {"sphere_d": value + 0.5, "cylinder_d": -1.0, "axis_deg": source.randint(0, 180)}
    return {
        **({"refraction_d": value} if source.random() < 0.6 else cylinder),
        "instrument": instrument,
        "vertex_mm": source.choice([12.0, 13.0, 13.75]),
        **({"working_distance_m": source.choice([0.4, 0.5, 0.67])} if instrument == "retinoscope" else {}),
    }


@generator("media")
def media(source: random.Random) -> Payload:
    """An eye of ordinary length in any medium."""
    return {
        "axial_length_mm": step(source, 21.0, 28.0, 0.01),
        **cornea(source),
        **sometimes(source, 0.5, formula=source.choice(_FORMULAS)),
        "constants": lens_constants(source),
        "target_d": step(source, -2.0, 0.5, 0.125),
        "medium": source.choice(["saline", "oil", "gas"]),
        "lens_index": source.choice([1.46, 1.47, 1.49, 1.55]),
        **sometimes(source, 0.5, lens_power_d=step(source, 5.0, 28.0, 0.5)),
        **sometimes(source, 0.5, oil_stays=source.random() < 0.5),
    }


@generator("acuity")
def acuity(source: random.Random) -> Payload:
    written = (f"6/{source.choice(['6', '9', '9.5', '12', '60'])}", f"20/{source.randint(12, 400)}",
               f"{source.uniform(0.05, 1.6):.2f}", f"logMAR {source.uniform(-0.3, 1.6):.2f}", "CF", "hm",
               "NLP", "0,5")
    return {"text": source.choice(written), **sometimes(source, 0.4,
            notation=source.choice(["decimal", "logmar"]))}
