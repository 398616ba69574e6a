"""``vergence_power``: lens power from a refraction, without an axial length."""

from __future__ import annotations

from typing import Any

from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, optional, required
from pycore.optics.vergence import power_for_change_d
from pycore.units import STANDARD_VERTEX_MM

ITEMS = (
    required("present_refraction_d"),
    required("target_d"),
    required("k_d"),
    required("lens_position_mm"),
    optional("vertex_mm", default=STANDARD_VERTEX_MM),
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """In an aphakic eye the whole lens; in any other eye the power to add."""
    power_d = power_for_change_d(
        present_refraction_d=request["present_refraction_d"],
        target_d=request["target_d"],
        corneal_power_d=request["k_d"],
        lens_position_mm=request["lens_position_mm"],
        vertex_mm=request["vertex_mm"],
    )
    return Answer({"power_d": power_d}, {"source": "Holladay JT. Am J Ophthalmol 1993;116:63-66"})


OPERATION = Operation(
    "vergence_power", "Lens power from the present refraction, no axial length.", ITEMS, run
)
