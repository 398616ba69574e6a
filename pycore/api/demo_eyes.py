"""Three invented eyes of a made-up outreach week in Port Ellowick, a made-up harbour town.

One eye a stage. Nobody's data: the numbers were chosen to hang together, the lenses are no
maker's, and the codes are fixed so that an eye that is already there is not added twice.
The plan's and the cut's read-backs carry the lines and fingerprint of the plan as it stands.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.plan_answers import readback
from pycore.records.case import CASE, Case, Group, Node, Rows, empty, empty_case
from pycore.records.shape import examine

PLACE: Final = "Port Ellowick, a made-up harbour town"

#: Right eye, lens dislocated into the vitreous; contact A-scan and hand-held keratometer.
_TO_PLAN: Final[dict[str, Any]] = {
    "code": "4TKW-A7NP",
    "created_at": "2026-10-09T06:40:00Z",
    "updated_at": "2026-10-09T06:58:00Z",
    "eye": "right",
    "history": {
        "age_years": 72, "sex": "female", "indication": "dislocated_natural_lens",
        "cornea": "ordinary", "vitreous": "formed",
    },
    "measurements": {
        "axial_length_mm": 22.62, "axial_method": "contact", "keratometry_method": "hand_held",
        "k_unit": "d", "k1_d": 43.87, "k2_d": 45.12, "k2_axis_deg": 98,
        "limbus_horizontal_mm": 11.6, "limbus_vertical_mm": 11.2,
    },
    "lens": {
        "lens_name": "Tray 2, row C", "lens_power_d": 22.0, "a": 118.4,
        "lens_length_mm": 13.0, "optic_diameter_mm": 6.0,
    },
    "plan": {
        "target_d": -0.25, "fellow_se_d": -0.75, "formula": "holladay1", "meridian_deg": 30,
        "seat": "superior", "entry_a_mm": 2.0, "entry_b_mm": 2.0, "tunnel_a_mm": 2.0,
        "tunnel_b_mm": 2.0, "melt_mm": 1.0, "bury_mm": 0.3, "drawn_out_mm": 2.5,
        "iridectomy_planned": True,
    },
}

#: Left eye, aphakic for years; plan read back, two readings by retinoscope.
_IN_THEATRE: Final[dict[str, Any]] = {
    "code": "9FRM-X3H7",
    "created_at": "2026-10-07T05:50:00Z",
    "updated_at": "2026-10-07T08:21:00Z",
    "eye": "left",
    "history": {
        "age_years": 58, "sex": "male", "indication": "aphakia", "cornea": "old_large_wound",
        "vitreous": "anterior_removed",
    },
    "measurements": {
        "axial_length_mm": 24.87, "axial_method": "immersion", "keratometry_method": "table",
        "k_unit": "d", "k1_d": 42.12, "k2_d": 43.37, "k2_axis_deg": 172,
        "limbus_horizontal_mm": 11.9, "limbus_vertical_mm": 11.4,
    },
    "lens": {
        "lens_name": "Tray 1, row A", "lens_power_d": 18.5, "a": 118.9,
        "lens_length_mm": 13.2, "optic_diameter_mm": 7.0,
    },
    "plan": {
        "target_d": -0.5, "fellow_se_d": -1.0, "formula": "holladay1", "meridian_deg": 150,
        "seat": "superior", "entry_a_mm": 2.0, "entry_b_mm": 2.0, "tunnel_a_mm": 2.0,
        "tunnel_b_mm": 2.0, "melt_mm": 1.0, "bury_mm": 0.3, "drawn_out_mm": 3.0,
        "iridectomy_planned": True,
    },
    "readings": [
        {
            "id": "demo-t-reading-1", "at": "2026-10-07T08:12:00Z", "length_basis": "measured",
            "outside_a_mm": 3.0, "outside_b_mm": 3.0, "removed_a_mm": 0.0, "removed_b_mm": 0.0,
            "placement": 1, "sphere_d": 0.25, "cylinder_d": -1.25, "axis_deg": 80,
            "instrument": "retinoscope", "iop_mmhg": 19, "infusion": "closed", "fill": "saline",
            "iridectomy_done": True, "withdrawn": None,
        },
        {
            "id": "demo-t-reading-2", "at": "2026-10-07T08:20:00Z", "length_basis": "measured",
            "outside_a_mm": 1.0, "outside_b_mm": 1.5, "removed_a_mm": 0.0, "removed_b_mm": 0.0,
            "placement": 2, "sphere_d": 0.75, "cylinder_d": -1.0, "axis_deg": 85,
            "instrument": "retinoscope", "iop_mmhg": 17, "infusion": "closed", "fill": "saline",
            "iridectomy_done": True, "withdrawn": None,
        },
    ],
}

#: Right eye, lens implant dislocated; cut and buried on the second day, seen a month later.
_TO_FOLLOW: Final[dict[str, Any]] = {
    "code": "C6PY-E8JW",
    "created_at": "2026-10-06T05:30:00Z",
    "updated_at": "2026-11-05T09:10:00Z",
    "eye": "right",
    "history": {
        "age_years": 66, "sex": "female", "indication": "dislocated_lens_implant",
        "cornea": "ordinary", "vitreous": "removed",
    },
    "measurements": {
        "axial_length_mm": 24.06, "axial_method": "optical", "keratometry_method": "table",
        "k_unit": "d", "k1_d": 41.87, "k2_d": 43.0, "k2_axis_deg": 88,
        "limbus_horizontal_mm": 11.8, "limbus_vertical_mm": 11.3,
    },
    "lens": {
        "lens_name": "Tray 1, row D", "lens_power_d": 20.5, "a": 118.4,
        "lens_length_mm": 13.0, "optic_diameter_mm": 6.5,
    },
    "plan": {
        "target_d": -0.25, "fellow_se_d": 0.25, "formula": "holladay1", "meridian_deg": 20,
        "seat": "superior", "entry_a_mm": 2.0, "entry_b_mm": 2.0, "tunnel_a_mm": 2.0,
        "tunnel_b_mm": 2.0, "melt_mm": 1.0, "bury_mm": 0.3, "drawn_out_mm": 3.0,
        "iridectomy_planned": True,
    },
    "surgery_on": "2026-10-06",
    "readings": [
        {
            "id": "demo-f-reading-1", "at": "2026-10-06T07:31:00Z", "length_basis": "measured",
            "outside_a_mm": 3.0, "outside_b_mm": 3.0, "removed_a_mm": 0.0, "removed_b_mm": 0.0,
            "placement": 1, "refraction_d": -0.37, "instrument": "autorefractor",
            "iop_mmhg": 18, "infusion": "closed", "fill": "saline", "iridectomy_done": True,
            "withdrawn": None,
        },
        {
            "id": "demo-f-reading-2", "at": "2026-10-06T07:39:00Z", "length_basis": "measured",
            "outside_a_mm": 1.0, "outside_b_mm": 1.0, "removed_a_mm": 0.0, "removed_b_mm": 0.0,
            "placement": 2, "refraction_d": 0.37, "instrument": "autorefractor",
            "iop_mmhg": 18, "infusion": "closed", "fill": "saline", "iridectomy_done": True,
            "withdrawn": None,
        },
    ],
    "decisions": [
        {
            "id": "demo-f-decision", "at": "2026-10-06T07:48:00Z", "outside_mm": 2.5,
            "cut_a_mm": 1.8, "cut_b_mm": 1.8, "melt_mm": 1.0, "bury_mm": 0.3, "mean_d": -0.18,
            "sd_d": 0.4, "low80_d": -0.69, "high80_d": 0.33, "within_050": 0.78,
            "no_useful_adjustment": False, "readings_used": 2, "core_version": None,
            "build_id": None,
        },
    ],
    "follow_ups": [
        {
            "id": "demo-f-day-1", "on": "2026-10-07", "udva_logmar": 0.7, "iop_mmhg": 10,
            "complications": ["corneal_oedema"], "withdrawn": None,
        },
        {
            "id": "demo-f-week-1", "on": "2026-10-13", "udva_logmar": 0.4, "iop_mmhg": 15,
            "complications": [], "withdrawn": None,
        },
        {
            "id": "demo-f-month-1", "on": "2026-11-05", "sphere_d": 0.0, "cylinder_d": -0.75,
            "axis_deg": 95, "vertex_mm": 12.0, "refraction_method": "subjective",
            "udva_logmar": 0.18, "cdva_logmar": 0.04, "iop_mmhg": 16, "complications": [],
            "withdrawn": None,
        },
    ],
}

#: What was done to both haptics alike: minute, step and length. Before melting, the haptic is
#: held out a little further.
_STEPS: Final = (
    (25, "externalise", 3.0), (45, "pull", 2.5), (52, "cut", 1.8), (54, "pull", 1.2),
    (55, "melt", 1.0), (58, "bury", 0.3),
)


def demo_eyes() -> list[Case]:
    """The three records, one a stage: plan, theatre, follow-up."""
    return [_made(_TO_PLAN), _read_back(_made(_IN_THEATRE), "2026-10-07T08:02:00Z"), _followed()]


def _made(data: dict[str, Any]) -> Case:
    made = empty_case(code=data["code"], created_at=data["created_at"], demo=True)
    return made | {key: _filled(CASE.members[key], value) for key, value in data.items()}


def _filled(node: Node, given: Any) -> Any:
    """What is given with every other key of its group or row present and empty."""
    if isinstance(node, Group):
        return {**empty(node), **given}
    return [{**empty(node.row), **row} for row in given] if isinstance(node, Rows) else given


def _read_back(case: Case, at: str) -> Case:
    read = readback(examine(case).sound)
    values = {line["label"]: line["value"] for line in read["lines"]}
    entry = {
        "id": f"demo-{case['code']}-plan", "at": at, "kind": "plan",
        "values": {**values, "fingerprint": read["fingerprint"]}, "by_two": True,
    }
    return {**case, "readbacks": [entry]}


def _followed() -> Case:
    case = _read_back(_made(_TO_FOLLOW), "2026-10-06T07:05:00Z")
    plan = case["readbacks"][0]["values"]
    cut = {
        "id": f"demo-{case['code']}-cut", "at": "2026-10-06T07:49:00Z", "kind": "cut",
        "values": {
            "Case code": case["code"], "Eye": plan["Eye"],
            "Haptic at 2:30": "outside now 2.5 mm; cut 1.8 mm; leave 0.7 mm; melt 1.0 mm",
            "Haptic at 8:30": "outside now 2.5 mm; cut 1.8 mm; leave 0.7 mm; melt 1.0 mm",
            "fingerprint": plan["fingerprint"],
        },
        "by_two": True,
    }
    log = [_entry(minute, step, length, side) for minute, step, length in _STEPS for side in "ab"]
    return {**case, "readbacks": [*case["readbacks"], cut], "haptic_log": log}


def _entry(minute: int, step: str, length_mm: float, side: str) -> dict[str, Any]:
    return {
        "id": f"demo-f-{minute}-{step}-{side}", "at": f"2026-10-06T07:{minute}:00Z", "haptic": side,
        "haptic_step": step, "length_mm": length_mm, "basis": "measured", "corrects": None,
    }
