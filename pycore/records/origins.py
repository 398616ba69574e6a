"""Where a stored measurement came from, when it was converted or estimated and accepted as such.

The belief that goes with a converted value counts only while the value stands exactly as it was
accepted: typed over, it is an ordinary measurement again, and a finding says so. Tests:
``tests/unit/test_measured_otherwise.py``.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from pycore.records.case import Case
from pycore.records.finding import Check, Finding, Today, unusual

#: Origin, and the values it is of.
VALUES_OF: Final = {
    "axial_origin": ("axial_length_mm",),
    "cornea_origin": ("k1_d", "k2_d"),
    "depth_origin": ("phakic_acd_mm",),
}
#: Origin, and the unknown its belief is about.
_UNKNOWN_OF: Final = {"axial_origin": "axial_length_mm", "cornea_origin": "corneal_power_d"}


def standing_origin(measurements: dict[str, Any], name: str) -> dict[str, Any] | None:
    """The origin ``name`` if its values still stand as they were accepted."""
    origin: dict[str, Any] | None = measurements[name]
    if origin is None or (name == "cornea_origin" and measurements["k_unit"] == "mm"):
        return None
    same = all(origin[key] == measurements[key] for key in VALUES_OF[name])
    return origin if same else None


def belief_of_origins(measurements: dict[str, Any]) -> dict[str, dict[str, float]] | None:
    """Overrides of the default beliefs, for what was converted; ``None`` when nothing was."""
    found = {}
    for name, unknown in _UNKNOWN_OF.items():
        origin = standing_origin(measurements, name)
        if origin is not None and None not in (origin["off_mean"], origin["off_sd"]):
            found[unknown] = {"mean": origin["off_mean"], "sd": origin["off_sd"]}
    return found or None


def typed_over(case: Case, today: Today) -> Iterator[Finding]:
    """A converted value that no longer stands."""
    found = case["measurements"]
    for name, keys in VALUES_OF.items():
        if found[name] is not None and standing_origin(found, name) is None:
            yield unusual(
                f"measurements.{keys[0]}", "converted_value_replaced",
                "This was a converted value and has been entered anew since. It counts as measured; convert "
                "it again if it is as the instrument showed it.",
            )


CHECKS: Final[tuple[Check, ...]] = (typed_over,)
