"""``measurements``: what was measured, corrected to what the formulas expect, step by step.

Axial length: velocity of the ultrasound, whole eye or by segments. Cornea: keratometer index,
total against keratometric power, laser surgery. Chamber depth: from which surface. What could not
be measured is estimated from the fellow eye or a population, with a wide belief, and said so.
Enter the answer's ``axial_length_mm``, ``k1_d`` and ``k2_d`` in ``advise`` together with its
``belief``, which then stands in place of the default by method.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from pycore.api.biometry import CONSTANTS_ITEM
from pycore.api.measured_axial import AXIAL_ITEMS, Measured, axial_length
from pycore.api.measured_cornea import CORNEA_ITEMS, Cornea, cornea, fellow_cornea
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, choice, optional, record
from pycore.formulas import Biometry
from pycore.formulas.screening import between_eyes
from pycore.planning.measurements.chamber_depth import thickness_step
from pycore.planning.measurements.cornea import front_power_d, total_power_d
from pycore.planning.measurements.step import Step
from pycore.units import corneal_radius_mm

_FELLOW = record(
    optional("axial_length_mm"),
    optional("k1_d"),
    optional("k2_d"),
    optional("r1_mm"),
    optional("r2_mm"),
)

ITEMS = (
    *AXIAL_ITEMS,
    *CORNEA_ITEMS,
    optional("chamber_depth_mm"),
    optional("depth_from"),
    optional("corneal_thickness_um"),
    optional("formula", choice("formula"), default="holladay1"),
    optional("constants", CONSTANTS_ITEM.reader, about="Needed to stand in for a missing axial length."),
    optional("fellow", _FELLOW, about="The other eye, to compare with or to stand in."),
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """Corrected measurements, the belief that goes with them, and every step."""
    fellow = request["fellow"] or {}
    fellow_k = fellow_cornea(fellow, notes)
    eye_cornea = cornea(request, fellow_k, notes)
    length = axial_length(request, fellow, eye_cornea, notes)
    depth = _depth(request, notes)
    _compare(length, eye_cornea, fellow.get("axial_length_mm"), fellow_k, notes)
    steps = [*length.steps, *eye_cornea.steps, *depth]
    value = {
        "axial_length_mm": length.value,
        "axial_measured": length.measured,
        **_cornea_value(eye_cornea),
        "phakic_acd_mm": depth[-1].after if depth else request["chamber_depth_mm"],
        "belief": {
            "axial_length_mm": {"mean": length.mean, "sd": length.sd},
            "corneal_power_d": {"mean": eye_cornea.mean, "sd": eye_cornea.sd},
        },
        "steps": [asdict(step) for step in steps],
    }
    return Answer(value, {"sources": sorted({step.source for step in steps})})


def _cornea_value(found: Cornea) -> dict[str, Any]:
    """Both powers, their mean's radius, and what both faces and the front face amount to."""
    radius = corneal_radius_mm(found.k_mean_d)
    return {
        "k1_d": found.k1_d,
        "k2_d": found.k2_d,
        "k_mean_d": found.k_mean_d,
        "radius_mm": radius,
        "total_power_d": total_power_d(radius),
        "front_power_d": front_power_d(radius),
        "cornea_measured": found.measured,
    }


def _depth(request: dict[str, Any], notes: Notes) -> list[Step]:
    """The conversion of the chamber depth, if it needs one."""
    depth = request["chamber_depth_mm"]
    if depth is None:
        return []
    if request["depth_from"] is None:
        notes.warn("depth_from_unknown", "The chamber depth is taken as from the epithelium. Say from which "
                   "surface it was measured.", field="depth_from")
    if request["depth_from"] != "endothelium":
        return []
    if request["corneal_thickness_um"] is None:
        notes.warn("thickness_assumed", "A corneal thickness of 540 \u00b5m is assumed. Measure it, or take "
                   "the depth from the epithelium.", field="corneal_thickness_um")
    return [thickness_step(depth, thickness_um=request["corneal_thickness_um"])]


def _compare(
    length: Measured,
    found: Cornea,
    fellow_length: float | None,
    fellow_k: tuple[float, float] | None,
    notes: Notes,
) -> None:
    """Differences between the eyes, in whatever was measured in both."""
    both_lengths = length.measured and fellow_length is not None
    both_corneas = found.measured and fellow_k is not None
    own = Biometry(length.value, found.k1_d, found.k2_d)
    other_k = fellow_k if both_corneas and fellow_k else (found.k1_d, found.k2_d)
    other = Biometry(fellow_length if both_lengths and fellow_length else length.value, *other_k)
    for code, message in between_eyes(own, other):
        notes.warn(code, message, field="fellow")


OPERATION = Operation(
    "measurements",
    "Measurements corrected to what the formulas expect, with the belief that goes with them.",
    ITEMS,
    run,
)
