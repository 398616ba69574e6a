"""What the plan says it assumes for empty entries."""

from __future__ import annotations

from pycore.api.plan_assumed import assumed_value
from pycore.records.case import empty_case


def test_everything_empty_names_every_assumption() -> None:
    """Values from the README's defaults: entry and tunnel 2.0, melt 1.0, bury 0.3, drawn out 2.5."""
    found = assumed_value(empty_case(code="K7MF-3MXP", created_at="2026-11-01T08:00:00Z"))
    assert found == {
        "plan.entry_a_mm": "2.0 mm", "plan.entry_b_mm": "2.0 mm",
        "plan.tunnel_a_mm": "2.0 mm", "plan.tunnel_b_mm": "2.0 mm",
        "plan.melt_mm": "1.0 mm", "plan.bury_mm": "0.3 mm", "plan.drawn_out_mm": "2.5 mm",
        "plan.formula": "Holladay 1",
    }  # fmt: skip


def test_what_was_entered_is_not_assumed() -> None:
    """An entered value, zero included, is never replaced."""
    case = empty_case(code="K7MF-3MXP", created_at="2026-11-01T08:00:00Z")
    case["plan"] |= {"bury_mm": 0.0, "formula": "haigis"}
    found = assumed_value(case)
    assert "plan.bury_mm" not in found
    assert "plan.formula" not in found
