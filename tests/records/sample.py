"""A complete, consistent record to damage: one invented eye, a month after surgery."""

from __future__ import annotations

import copy
from datetime import date
from typing import Any

from pycore.records.codes import complete
from pycore.records.finding import Finding, Today
from pycore.records.validate import validate

#: Keys of a visit that records of the first builds lack.
LATER_VISIT_KEYS = (
    "udva_written", "udva_notation", "udva_low", "cdva_written", "cdva_notation", "cdva_low", "k_unit",
    "k1_d", "k2_d", "k2_axis_deg", "r1_mm", "r2_mm", "optic_depth_mm", "optic_depth_from", "tilt_deg",
    "tilt_axis_deg", "decentre_mm", "decentre_axis_deg", "tilt_reference", "pose_device", "sutures",
    "flange_check",
)
TODAY = Today.on(date(2026, 6, 20))
CODE, OTHER_CODE = complete("HEMMAKT"), complete("PACKEN3")


def reading(identity: str, minute: int, outside_mm: float, **changes: Any) -> dict[str, Any]:
    return {
        "id": identity, "at": f"2026-05-12T08:{minute:02d}:00Z", "length_basis": "measured",
        "outside_a_mm": outside_mm, "outside_b_mm": outside_mm, "removed_a_mm": 0.0,
        "removed_b_mm": 0.0, "placement": 1, "refraction_d": -0.75, "sphere_d": None,
        "cylinder_d": None, "axis_deg": None, "instrument": "aberrometer", "iop_mmhg": 18,
        "infusion": "closed", "fill": "saline", "iridectomy_done": True, "conditions": None,
        "meridian_1_d": None, "meridian_2_d": None, "vertex_mm": None, "working_distance_m": None,
        "withdrawn": None,
    } | changes


def entry(identity: str, minute: int, haptic: str | None, step: str | None, length_mm: float | None,
          **changes: Any) -> dict[str, Any]:
    return {
        "id": identity, "at": f"2026-05-12T08:{minute:02d}:00Z", "haptic": haptic,
        "haptic_step": step, "length_mm": length_mm, "basis": "measured", "corrects": None,
    } | changes


def visit(identity: str, day: str | None, **changes: Any) -> dict[str, Any]:
    return {
        "id": identity, "at": None, "on": day, "sphere_d": -0.25, "cylinder_d": -0.5,
        "axis_deg": 90, "vertex_mm": 12, "refraction_method": "subjective", "udva_logmar": 0.2,
        "cdva_logmar": 0.0, "iop_mmhg": 15, "days_after": None, "se_d": None,
        "complications": [], "withdrawn": None,
        "complication_details": [], **dict.fromkeys(LATER_VISIT_KEYS),
    } | changes


def sample() -> dict[str, Any]:
    return {
        "schema": 1, "code": CODE, "person": None, "demo": False,
        "created_at": "2026-05-11T16:00:00Z", "updated_at": "2026-06-11T10:00:00Z", "eye": "left",
        "history": {"age_years": 61, "sex": "male", "indication": "trauma", "cornea": "scar",
                    "vitreous": "removed"},
        "measurements": {
            "axial_length_mm": 23.1, "axial_method": "optical", "keratometry_method": "table",
            "k_unit": "d", "k1_d": 42.5, "k2_d": 44.0, "k2_axis_deg": 85, "r1_mm": None,
            "r2_mm": None, "phakic_acd_mm": 3.1, "limbus_horizontal_mm": 11.9,
            "limbus_vertical_mm": 11.3, "axial_origin": None, "cornea_origin": None,
            "depth_origin": None},
        "lens": {"lens_name": "tray 4", "lens_power_d": 22.0, "a": 118.7, "pacd_mm": None,
                 "surgeon_factor_mm": None, "a0": None, "a1": None, "a2": None,
                 "lens_length_mm": 13.2, "optic_diameter_mm": 6.0, "haptic_length_mm": 7.0},
        "plan": {"target_d": -0.5, "fellow_se_d": -0.25, "formula": "srkt", "meridian_deg": 25,
                 "seat": "temporal", "entry_a_mm": 2.0, "entry_b_mm": 2.0, "tunnel_a_mm": 2.0,
                 "tunnel_b_mm": 2.0, "melt_mm": 1.0, "bury_mm": 0.3, "drawn_out_mm": 3.0,
                 "iridectomy_planned": True},
        "marks": [{"id": "m1", "at": "2026-05-11T16:05:00Z", "mark": "bleb", "at_clock": "12",
                   "withdrawn": None}],
        "aphakic": {"at": None, "form": None, "instrument": None, "vertex_mm": None,
                    "working_distance_m": None, "refraction_d": None, "sphere_d": None,
                    "cylinder_d": None, "axis_deg": None, "meridian_1_d": None, "meridian_2_d": None},
        "fill_after": {"medium": None, "oil_stays": None, "lens_index": None, "lens_shape": None},
        "ignore_history": None, "not_learned": None,
        "readbacks": [{"id": "rb", "at": "2026-05-12T07:50:00Z", "kind": "plan",
                       "values": {"Eye": "Left eye"}, "by_two": True}],
        "surgery_on": "2026-05-12",
        "readings": [reading("r1", 5, 3.0), reading("r2", 9, 1.5, placement=2)],
        "haptic_log": [
            entry("l1", 15, "a", "pull", 2.5), entry("l2", 15, "b", "pull", 2.5),
            entry("l3", 20, "a", "cut", 1.0), entry("l4", 21, "b", "cut", 1.0),
            entry("l5", 25, "a", "melt", 1.0), entry("l6", 26, "b", "melt", 1.0),
            entry("l7", 30, "a", "bury", 0.3), entry("l8", 31, "b", "bury", 0.3)],
        "decisions": [{
            "id": "d1", "at": "2026-05-12T08:18:00Z", "outside_mm": 1.7, "cut_a_mm": 1.0,
            "cut_b_mm": 1.0, "melt_mm": 1.0, "bury_mm": 0.3, "mean_d": -0.4, "sd_d": 0.35,
            "low80_d": -0.85, "high80_d": 0.05, "within_050": 0.82,
            "no_useful_adjustment": False, "readings_used": 2, "core_version": "0.1.0",
            "build_id": "source", "decided_as": None, "advised_outside_mm": None}],
        "imported": None, "lost_to_follow_up": None,
        "follow_ups": [visit("v1", "2026-05-13", sphere_d=None, cylinder_d=None, axis_deg=None),
                       visit("v2", "2026-06-11")],
    }


def changed(path: str, value: Any, case: dict[str, Any] | None = None) -> dict[str, Any]:
    """A copy of the sample with one value changed; ``readings.1.fill`` counts rows from 0."""
    damaged = copy.deepcopy(sample() if case is None else case)
    found: Any = damaged
    *parents, last = path.split(".")
    for key in parents:
        found = found[int(key)] if isinstance(found, list) else found[key]
    if isinstance(found, list):
        found[int(last)] = value
    else:
        found[last] = value
    return damaged


def findings(case: object, *, today: Today = TODAY) -> list[Finding]:
    return list(validate(case, today=today).findings)


def codes(case: object) -> set[tuple[str, str, str]]:
    return {(found.path, found.code, found.severity) for found in findings(case)}
