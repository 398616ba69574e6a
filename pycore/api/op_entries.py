"""``entries``: where both haptics leave the eye, and how much of them is left outside."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, number, optional, pair, required
from pycore.fixation.entries import SYMMETRY_LIMIT_MM, EntryPlan, Side, plan_entries
from pycore.fixation.haptic_path import LOOP_SWEEP_DEG, SPARE_MM, USUAL_OPTIC_MM
from pycore.fixation.sclera import SCLERAL_RADIUS_MM


def run(request: dict[str, Any], notes: Notes) -> Answer:
    plan = plan_entries(**request)
    for caution in plan.cautions:
        notes.warn(caution.code, caution.message, field=caution.field)
    return Answer(as_value(plan), dict(_PROVENANCE))


def as_value(plan: EntryPlan) -> dict[str, Any]:
    """The plain form of a plan, as answered here and by the planning operation."""
    return {
        "a": _side(plan.a),
        "b": _side(plan.b),
        "outer_chord_mm": plan.outer_chord_mm,
        "midpoint_offset_mm": plan.midpoint_offset_mm,
        "radius_difference_mm": plan.radius_difference_mm,
        "symmetric": plan.symmetric,
        "pose": asdict(plan.pose),
        "haptic_length_mm": plan.haptic_length_mm,
        "expected_outside_mm": plan.expected_outside_mm,
    }


def _side(side: Side) -> dict[str, Any]:
    return {
        "clock": side.clock,
        "angle_deg": side.point.angle_deg,
        "x_mm": side.point.x_mm,
        "y_mm": side.point.y_mm,
        "depth_mm": side.point.depth_mm,
        "radius_mm": side.point.radius_mm,
        "expected_outside_mm": side.expected_outside_mm,
    }


_PROVENANCE = {
    "frame": "x to the observer's right, y up, depth behind the limbal plane, from the limbal centre",
    "scleral_radius_mm": SCLERAL_RADIUS_MM,
    "symmetry_limit_mm": SYMMETRY_LIMIT_MM,
    "pose": "what unequal entries alone would do to a rigid lens: the geometric part only",
    "spare_mm": SPARE_MM,
    "loop_sweep_deg": LOOP_SWEEP_DEG,
}

OPERATION = Operation(
    "entries",
    "Places of both scleral entries, their symmetry, and the length expected outside.",
    (
        required("limbus_horizontal_mm"),
        required("limbus_vertical_mm"),
        required("meridian_deg"),
        required("entry_mm", pair(number("entry_mm"))),
        optional("tunnel_mm", pair(number("tunnel_mm"))),
        optional("lens_length_mm"),
        optional("haptic_length_mm"),
        optional("optic_diameter_mm", default=USUAL_OPTIC_MM),
        optional("melt_mm", default=1.0),
    ),
    run,
)
