"""Records whose visits, or the end of them, contradict themselves."""

from __future__ import annotations

from typing import Any, Final

from tests.records.sample import changed

Case = dict[str, Any]
IMPOSSIBLE, UNUSUAL, MISSING = "impossible", "unusual", "missing"

#: A visit's key and value, another key and value, the path in the visit, code, severity.
_VISITS: Final[list[tuple[str, Any, str, Any, str, str, str]]] = [
    ("cdva_low", "hm", "iop_mmhg", 15, "cdva_low", "two_acuities", IMPOSSIBLE),
    ("cdva_written", "6/6 maybe", "iop_mmhg", 15, "cdva_written", "acuity_unreadable", UNUSUAL),
    ("cdva_written", "0.1", "iop_mmhg", 15, "cdva_written", "notation_missing", MISSING),
    ("cdva_written", "6/60", "iop_mmhg", 15, "cdva_written", "acuity_disagrees", UNUSUAL),
    ("cdva_written", "HM", "cdva_logmar", 0.0, "cdva_written", "acuity_disagrees", UNUSUAL),
    ("optic_depth_mm", 4.5, "iop_mmhg", 15, "optic_depth_from", "missing_definition", MISSING),
    ("tilt_deg", 5.0, "iop_mmhg", 15, "tilt_reference", "missing_definition", MISSING),
    ("complication_details", [{"complication": "tilt"}], "complications", ["uveitis"],
     "complication_details[0].complication", "detail_without_complication", UNUSUAL),
    ("complication_details", [{"complication": "tilt", "days_after": 31}], "complications", ["tilt"],
     "complication_details[0].days_after", "noticed_after_visit", IMPOSSIBLE),
]

#: What stands as the end of follow-up, the key that is wrong, code, severity.
_LOST: Final = [
    ({"on": "2026-06-12", "reason": None}, "reason", "missing_for_lost", MISSING),
    ({"on": "2026-07-12", "reason": "moved"}, "on", "in_the_future", IMPOSSIBLE),
    ({"on": "2026-05-01", "reason": "moved"}, "on", "lost_before_surgery", IMPOSSIBLE),
]

#: Damaged record, path, code, severity.
DAMAGED_VISITS: Final[list[tuple[Case, str, str, str]]] = [
    *((changed(f"follow_ups.1.{key}", value, changed(f"follow_ups.1.{other}", given)), f"follow_ups[1].{path}",
       code, severity) for key, value, other, given, path, code, severity in _VISITS),
    *((changed("lost_to_follow_up", lost), f"lost_to_follow_up.{key}", code, severity)
      for lost, key, code, severity in _LOST),
]
