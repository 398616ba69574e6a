"""Records whose readings by retinoscope contradict themselves."""

from __future__ import annotations

from typing import Any, Final

from tests.records.sample import changed, reading

_HELD: Final[list[tuple[dict[str, Any], str, str, str]]] = [
    ({"refraction_d": None, "meridian_1_d": 1.5}, "meridian_2_d", "missing_meridian", "missing"),
    ({"meridian_1_d": 1.5, "meridian_2_d": 0.5}, "meridian_1_d", "two_refractions", "impossible"),
    ({"working_distance_m": 0.5}, "working_distance_m", "distance_without_retinoscope", "impossible"),
]

#: As the damages of ``tests/records/test_validate.py``: record, path, code, severity.
DAMAGED_READINGS: Final = [
    (changed("readings.0", reading("r1", 5, 3.0, **slip)), f"readings[0].{key}", code, severity)
    for slip, key, code, severity in _HELD
]
