"""Requests for the bench, all invented, and how the core's time grows with their number."""

from __future__ import annotations

import copy
import json
import math
import time
from collections.abc import Mapping, Sequence
from typing import Any

# An eye with two readings.
ADVISE: dict[str, Any] = {
    "axial_length_mm": 23.6, "k1_d": 43.0, "k2_d": 44.0, "axial_method": "optical",
    "formula": "holladay1", "constants": {"a": 118.7}, "lens_power_d": 21.0, "target_d": -0.5,
    "readings": [
        {"outside_mm": [2.5, 2.5], "refraction_d": -1.9, "instrument": "aberrometer"},
        {"outside_mm": [1.0, 1.0], "refraction_d": -0.7, "instrument": "aberrometer"},
    ],
    "haptic": {"drawn_out_mm": 2.5},
}
TILT: dict[str, Any] = {
    "axial_length_mm": 24.0, "k1_d": 43.0, "k2_d": 43.0, "lens_power_d": 20.0, "lens_index": 1.49,
    "tilt_deg": 5.0, "tilt_axis_deg": 90.0, "decentre_mm": 0.2, "decentre_axis_deg": 0.0, "pupil_mm": 3.0,
}
COUNTS = (100, 1_000, 10_000, 100_000)
#: Beyond this no operation takes stored eyes in one request.
MOST_CASES = 10_000
_DIGITS = "346789ACDEFHJKMN"


def rows(count: int) -> list[dict[str, float]]:
    """Predicted and achieved refractions."""
    return [{"predicted_d": -0.25, "achieved_d": -0.25 + 0.1 * ((7 * place) % 13 - 6)}
            for place in range(count)]


def many_cases(cases: Sequence[Mapping[str, Any]], count: int) -> list[dict[str, Any]]:
    """The last of ``cases`` again and again, each an eye of its own with another length and refraction."""
    from pycore.records.codes import complete

    found = []
    for place in range(count):
        case = copy.deepcopy(dict(cases[-1]))
        digits = "".join(_DIGITS[place // 16**power % 16] for power in range(4))
        case |= {"code": complete(f"EYE{digits}"), "demo": False, "person": None}
        case["measurements"]["axial_length_mm"] = 22.5 + 0.01 * (place % 300)
        for visit in case["follow_ups"]:
            if isinstance(visit.get("sphere_d"), int | float):
                visit["sphere_d"] += 0.25 * (place % 5 - 2)
        found.append(case)
    return found


def growth() -> dict[str, Any]:
    """Seconds by number of eyes or readings, and the power of the number that they grow with."""
    from pycore.api import handle

    demo = _value(handle, "demo_cases", {})["cases"]
    requests: dict[str, list[tuple[int, Any]]] = {
        "audit": [(count, {"rows": rows(count)}) for count in COUNTS],
        "export_csv": [(count, {"cases": many_cases(demo, count), "exclude_demo": False})
                       for count in COUNTS if count <= MOST_CASES],
        "learn": [(count, {"cases": many_cases(demo, count)}) for count in (100, 1_000)],
    }
    return {operation: _grown(handle, operation, asked) for operation, asked in requests.items()}


def _grown(handle: Any, operation: str, asked: Sequence[tuple[int, Any]]) -> dict[str, float]:
    seconds: dict[str, float] = {}
    for count, payload in asked:
        text = json.dumps({"id": 1, "operation": operation, "payload": payload})
        start = time.process_time()
        handle(text)
        seconds[str(count)] = round(time.process_time() - start, 4)
    first, last = asked[-2][0], asked[-1][0]
    power = math.log(seconds[str(last)] / max(seconds[str(first)], 1e-6)) / math.log(last / first)
    return {**seconds, "power": round(power, 2)}


def _value(handle: Any, operation: str, payload: Any) -> Any:
    return json.loads(handle(json.dumps({"id": 1, "operation": operation, "payload": payload})))["value"]
