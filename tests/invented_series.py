"""Invented series of operated eyes, for the results: as many as asked, the same for a seed.

Nothing here is of a real person: every eye is a copy of the sample record with random
measurements, a lens near its emmetropic power, a decision, and visits whose refraction is the
plan's own prediction plus a surgeon's bias, a shift by the haptic length left, and noise.
"""

from __future__ import annotations

import random
from datetime import date, timedelta
from typing import Any

from pycore.api.case_follow_up import planned_view
from pycore.records.case import CASE, Group, Rows, empty
from pycore.records.codes import ALPHABET, FREE_CHARACTERS, complete
from tests.generators import step
from tests.records.sample import sample

#: Day after surgery of each visit.
VISITS = (7, 33, 95)
#: The surgeon's own bias and the scatter between eyes, D.
BIAS_D, SCATTER_D = -0.25, 0.45


def series(count: int, seed: int = 1, *, pairs: float = 0.2) -> list[dict[str, Any]]:
    """``count`` eyes; about ``pairs`` of them are the second eye of the person before."""
    source = random.Random(f"series {seed}")
    eyes: list[dict[str, Any]] = []
    for number in range(count):
        second = bool(eyes) and eyes[-1]["eye"] == "right" and source.random() < pairs
        person = eyes[-1]["person"] if second else code(source)
        eyes.append(eye(source, number, person=person, side="left" if second else "right"))
    return eyes


def code(source: random.Random) -> str:
    """A valid case code."""
    return complete("".join(source.choices(ALPHABET, k=FREE_CHARACTERS)))


def eye(source: random.Random, number: int, *, person: str, side: str) -> dict[str, Any]:
    """One operated eye with three visits."""
    case = sample()
    length = step(source, 22.0, 26.5, 0.01)
    flat = step(source, 41.0, 45.0, 0.01)
    operated = date(2026, 1, 5) + timedelta(days=number % 180)
    case |= {"code": code(source), "person": person, "eye": side, "demo": False,
             "surgery_on": operated.isoformat(), "updated_at": "2026-11-20T06:00:00Z"}
    case["history"]["cornea"] = "ordinary"
    case["measurements"] |= {"axial_length_mm": length, "axial_method": "optical", "k_unit": "d",
                             "k1_d": flat, "k2_d": round(flat + step(source, 0.0, 1.5, 0.01), 2),
                             "r1_mm": None, "r2_mm": None, "phakic_acd_mm": None}
    case["lens"] |= {"lens_power_d": round(2 * (21.0 - 2.7 * (length - 23.5) - 1.1 * (flat - 43.0))) / 2,
                     "a": 118.7, "pacd_mm": None, "surgeon_factor_mm": None, "a0": None, "a1": None,
                     "a2": None}
    case["plan"] |= {"target_d": -0.25, "formula": "holladay1"}
    case["readings"], case["haptic_log"] = [], []
    _decided_and_followed(source, case, operated)
    return case


def _decided_and_followed(source: random.Random, case: dict[str, Any], operated: date) -> None:
    view = planned_view(case)
    assert view is not None
    deviation = BIAS_D + source.gauss(0.0, SCATTER_D)
    best = min((1.0, 1.5, 2.0, 2.5, 3.0), key=lambda e: abs(_at(view, e) + deviation + 0.25))
    left = best if source.random() < 0.8 else 2.0
    expected = _at(view, left) + deviation + source.gauss(0.0, 0.2)
    final = expected + source.gauss(0.0, 0.3)
    at = f"{operated.isoformat()}T08:00:00Z"
    case["decisions"] = [_row("decisions", id="d", at=at, outside_mm=left, mean_d=round(expected, 2), sd_d=0.4)]
    case["follow_ups"] = [_visit(source, operated, days, final) for days in VISITS]


def _at(view: Any, outside_mm: float) -> float:
    return float(view.linear(outside_mm).value_d)


def _visit(source: random.Random, operated: date, days: int, final: float) -> dict[str, Any]:
    cylinder = -round(4 * min(abs(source.gauss(0.0, 0.8)), 3.0)) / 4
    sphere = round(4 * (final + source.gauss(0.0, 0.15) - cylinder / 2)) / 4
    best = round(min(max(source.gauss(0.06, 0.1), -0.2), 0.5), 2)
    return _row(
        "follow_ups", id=f"v{days}", on=(operated + timedelta(days=days)).isoformat(),
        sphere_d=sphere, cylinder_d=cylinder, axis_deg=source.randint(1, 180) if cylinder else None,
        vertex_mm=12.0, refraction_method="subjective", iop_mmhg=15.0, complications=[],
        cdva_logmar=best, udva_logmar=round(best + 0.25 * abs(sphere + cylinder / 2), 2))


def _row(section: str, **given: Any) -> dict[str, Any]:
    node = CASE.members[section]
    assert isinstance(node, Rows)
    assert isinstance(node.row, Group)
    return {**empty(node.row), **given}
