"""``follow_up_case``: visits against the prediction, what is due, and what to look into."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.case_door import CASE_ITEM, TODAY_ITEM, checked_case, today_of
from pycore.api.case_follow_up import VisitNumbers, planned_refraction_d, visit_numbers, written
from pycore.api.case_numbers import DEFAULT_FORMULA
from pycore.api.follow_up_cautions import visit_cautions
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes
from pycore.api.wording import fixed, quantity
from pycore.fields import FIELDS
from pycore.optics.refraction import Spherocylinder, minus_form, plus_form
from pycore.records.case import Case, rows
from pycore.records.finding import Finding, Today
from pycore.records.schedule import due_visits, slot_of

ITEMS = (CASE_ITEM, TODAY_ITEM)

#: Sections whose faulty values change what this answer says.
_USED: Final = ("follow_ups", "surgery_on", "decisions", "measurements", "lens", "plan")


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """Faulty values are left out and named; everything else is answered."""
    today = today_of(request)
    _, checked = checked_case(request["case"], today)
    for found in checked.impossible:
        if found.path.split(".")[0].split("[")[0] in _USED:
            _warn(notes, found)
    value = _value(checked.sound, today)
    return Answer(value, {"formula": checked.sound["plan"]["formula"] or DEFAULT_FORMULA})


def _warn(notes: Notes, found: Finding) -> None:
    notes.warn(found.code, f"{found.message} Until then it is left out here.", field=found.path)


def _value(case: Case, today: Today) -> dict[str, Any]:
    visits: list[dict[str, Any]] = []
    cautions: list[dict[str, Any]] = []
    for path, visit in rows(case, "follow_ups"):
        numbers = visit_numbers(case, visit)
        visits.append(_visit(visit, numbers))
        if visit["withdrawn"] is None:
            cautions += visit_cautions(path, visit, numbers)
    return {
        "visits": visits,
        "due": [
            {"label": due.slot.label, "on_day": due.on, "days": due.slot.day, "state": due.state}
            for due in due_visits(case, today)
        ],
        "plan_predicted_d": planned_refraction_d(case),
        "cautions": cautions,
    }


def _visit(visit: Case, numbers: VisitNumbers) -> dict[str, Any]:
    refraction = written(visit)
    slot = None if numbers.days is None else slot_of(numbers.days)
    late = None if slot is None or numbers.days is None else max(0, numbers.days - slot.day)
    return {
        "id": visit["id"],
        "on": visit["on"],
        "withdrawn": visit["withdrawn"] is not None,
        "days": numbers.days,
        "late_days": late,
        "label": slot and slot.label,
        "se_d": numbers.se_d,
        "predicted_d": numbers.predicted_d,
        "error_d": numbers.error_d,
        "error_text": _difference(numbers.error_d, "predicted after the readings"),
        "plan_error_d": numbers.plan_error_d,
        "plan_error_text": _difference(numbers.plan_error_d, "planned"),
        "counts": visit["withdrawn"] is None and not numbers.why_not,
        "why_not": list(numbers.why_not),
        "minus_text": refraction and refraction_text(minus_form(refraction)),
        "plus_text": refraction and refraction_text(plus_form(refraction)),
    }


def refraction_text(refraction: Spherocylinder) -> str:
    """A refraction as it is written down.

    >>> refraction_text(Spherocylinder(0.5, -1.25, 5))
    '+0.50 D \N{MINUS SIGN}1.25 D \N{MULTIPLICATION SIGN} 005°'
    """
    sphere = quantity(refraction.sphere_d, "sphere_d")
    if not refraction.cylinder_d:
        return f"{sphere} sphere"
    cylinder = fixed(refraction.cylinder_d, FIELDS["cylinder_d"].decimals, signed=True)
    return f"{sphere} {cylinder} D × {refraction.axis_deg:03.0f}°"


def _difference(error_d: float | None, than: str) -> str | None:
    if error_d is None:
        return None
    amount = quantity(error_d, "refraction_d")
    if not float(f"{abs(error_d):.2f}"):
        return f"{amount}: as {than}"
    return f"{amount}: more {'myopic' if error_d < 0 else 'hyperopic'} than {than}"


OPERATION = Operation(
    "follow_up_case", "Visits against the prediction, what is due, and what to look into.", ITEMS, run
)
