"""What the plan assumes for entries that were left empty, in words for the screen.

Checked by ``tests/unit/test_plan_assumed.py``.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.case_numbers import DEFAULT_DRAWN_OUT_MM, DEFAULT_FORMULA
from pycore.api.titration_items import HAPTIC_ITEM
from pycore.api.wording import quantity, word
from pycore.belief.eye import REFERENCE_ENTRY_MM, REFERENCE_TUNNEL_MM

_FLANGE: Final = {item.key: item.default for item in HAPTIC_ITEM.reader.items}  # type: ignore[attr-defined]

#: Key in the plan, glossary field, value used when the key is empty.
_LENGTHS: Final = (
    ("entry_a_mm", "entry_mm", REFERENCE_ENTRY_MM),
    ("entry_b_mm", "entry_mm", REFERENCE_ENTRY_MM),
    ("tunnel_a_mm", "tunnel_mm", REFERENCE_TUNNEL_MM),
    ("tunnel_b_mm", "tunnel_mm", REFERENCE_TUNNEL_MM),
    ("melt_mm", "melt_mm", _FLANGE["melt_mm"]),
    ("bury_mm", "bury_mm", _FLANGE["bury_mm"]),
    ("drawn_out_mm", "drawn_out_mm", DEFAULT_DRAWN_OUT_MM),
)


def assumed_value(case: dict[str, Any]) -> dict[str, str]:
    """What stands in for each empty entry, by its path."""
    plan = case["plan"]
    found = {f"plan.{key}": quantity(value, field) for key, field, value in _LENGTHS if plan[key] is None}
    return found if plan["formula"] else {**found, "plan.formula": word(DEFAULT_FORMULA, "formula")}
