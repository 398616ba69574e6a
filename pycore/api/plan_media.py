"""What fills the eye after surgery, on the plan screen: whether it stays, and what that means.

The plan's own numbers are for saline. Oil that stays needs another lens; the sentence says which.
Tests: ``tests/unit/test_plan_media.py``.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api import op_media
from pycore.api.case_numbers import case_paths, titration_request
from pycore.api.schema import Notes, record
from pycore.fields import FIELDS

_READER: Final = record(*op_media.ITEMS)
_FROM_CASE: Final = {item.key for item in op_media.ITEMS} - {"medium", "lens_index", "oil_stays"}

_SENTENCES: Final = {
    "saline": "The oil will come out, so the plan for saline holds. Until then the eye reads as below.",
    "medium": "The oil stays: the plan on this page is for saline and does not hold. Choose the lens for oil "
              "from the table.",
}


def media_value(case: dict[str, Any], cautions: Notes) -> dict[str, Any] | None:
    """``None`` for saline or when nothing was said; else the answer by shape of the optic."""
    fill = case["fill_after"]
    if fill["medium"] in (None, "saline"):
        return None
    if fill["lens_index"] is None:
        return {"ready": False, "message": "Enter the refractive index of the optic from the label.",
                "plan_for": None, "shapes": []}
    notes = Notes()
    value = _answer(case, notes)
    message = next((one["message"] for one in notes.warnings if one["code"] in _NOTED), None)
    message = message or _SENTENCES[value["plan_for"]]
    if value["plan_for"] != "saline":
        cautions.warn("plan_is_for_saline", str(message), field="fill_after.oil_stays")
    return {"ready": True, "message": message, "plan_for": value["plan_for"],
            "shapes": _shapes(value, fill["lens_shape"])}


_NOTED: Final = ("gas_goes_away", "oil_stays_unknown")


def _answer(case: dict[str, Any], notes: Notes) -> dict[str, Any]:
    fill = case["fill_after"]
    request = {key: value for key, value in titration_request(case, []).items() if key in _FROM_CASE}
    asked = {**request, **{key: fill[key] for key in ("medium", "lens_index", "oil_stays")}}
    with case_paths():
        value: dict[str, Any] = op_media.run(_READER(asked, "", Notes()), notes).value
    return value


def _shapes(value: dict[str, Any], chosen: str | None) -> list[dict[str, Any]]:
    """The chosen shape alone, or all of them while it is not known."""
    return [
        {
            "shape": shape,
            "label": FIELDS["lens_shape"].choices[shape],
            "refraction_d": found.get("refraction_d"),
            "shift_d": found.get("shift_d"),
            "power_for_target_d": found.get("power_for_target_d"),
        }
        for shape, found in value["shapes"].items()
        if chosen in (None, shape)
    ]
