"""``follow_up_case``: visits against the prediction, what is due, and what to look into."""

from __future__ import annotations

from datetime import timedelta
from typing import Any, Final

from pycore.api.case_done import Expected
from pycore.api.case_door import CASE_ITEM, TODAY_ITEM, checked_case, today_of
from pycore.api.case_follow_up import Predictions, VisitNumbers, visit_numbers, written
from pycore.api.case_history import given_surgeon
from pycore.api.case_numbers import DEFAULT_FORMULA
from pycore.api.follow_up_cautions import visit_cautions
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, mapping, optional
from pycore.api.shown_as import SHOWN_AS, both_forms, in_form
from pycore.api.visit_words import refraction_text, refraction_words, visit_facts
from pycore.api.wording import quantity, word
from pycore.belief.surgeon import SurgeonBelief
from pycore.optics.refraction import minus_form, plus_form
from pycore.records.case import Case, rows
from pycore.records.finding import Finding, Today
from pycore.records.moments import as_date
from pycore.records.schedule import due_visits, lost_on, slot_of
from pycore.words import say

ITEMS = (
    CASE_ITEM,
    TODAY_ITEM,
    optional("surgeon", mapping, about="What learn gave for the date of surgery."),
    SHOWN_AS,
)

Shown = dict[str, str]

#: Sections whose faulty values change what this answer says.
_USED: Final = (
    "follow_ups", "surgery_on", "decisions", "measurements", "lens", "plan", "haptic_log",
    "lost_to_follow_up",
)
#: From this day on every visit looks at the flanges.
_FLANGES_FROM_DAY: Final = 274


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """Faulty values are left out and named; everything else is answered."""
    today = today_of(request)
    _, checked = checked_case(request["case"], today)
    for found in checked.impossible:
        if found.path.split(".")[0].split("[")[0] in _USED:
            _warn(notes, found)
    formula = checked.sound["plan"]["formula"] or DEFAULT_FORMULA
    surgeon = given_surgeon(request["surgeon"], notes, formula)
    value = _value(checked.sound, today, surgeon, request["shown_as"])
    return Answer(value, {"formula": formula})


def _warn(notes: Notes, found: Finding) -> None:
    notes.warn(found.code, say(
        "{message} Until then it is left out here.",
        message=found.message,
    ), field=found.path)


def _value(case: Case, today: Today, surgeon: SurgeonBelief | None, shown: Shown) -> dict[str, Any]:
    visits: list[dict[str, Any]] = []
    cautions: list[dict[str, Any]] = []
    predictions = Predictions.of(case, surgeon)
    for path, visit in rows(case, "follow_ups"):
        numbers = visit_numbers(case, visit, predictions)
        visits.append(_visit(visit, numbers, shown))
        if visit["withdrawn"] is None:
            cautions += visit_cautions(path, visit, numbers)
    return {
        "visits": visits,
        "due": [
            {"label": due.slot.label, "on_day": due.on, "days": due.slot.day, "state": due.state}
            for due in due_visits(case, today)
        ],
        "plan_predicted_d": predictions.planned_d,
        "done": _done(predictions.after),
        "lost": _lost(case),
        "flanges_from": _flanges_from(case),
        "cautions": cautions,
    }


def _done(found: Expected) -> dict[str, Any]:
    """What visits are compared with, and whether the log departs from the decision."""
    return {
        "predicted_d": found.value_d,
        "predicted_from": found.source,
        "left_outside_mm": found.left_mm,
        "decided_outside_mm": found.decided_mm,
        "departs": found.text,
    }


def _flanges_from(case: Case) -> str | None:
    """The date from which every visit looks at the flanges."""
    day = None if case["surgery_on"] is None else as_date(case["surgery_on"])
    return None if day is None else (day + timedelta(days=_FLANGES_FROM_DAY)).isoformat()


def _lost(case: Case) -> dict[str, Any] | None:
    """That no visit is expected any more; ``None`` while the eye is followed."""
    day, lost = lost_on(case), case["lost_to_follow_up"]
    if day is None or lost is None:
        return None
    why = word(lost["reason"], "lost_reason").lower()
    return {"on": day, "text": say("Lost to follow-up from {day}: {why}.", day=day, why=why)}


def _visit(visit: Case, numbers: VisitNumbers, shown: Shown) -> dict[str, Any]:
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
        "error_text": _difference(numbers.error_d, _THAN[numbers.predicted_from]),
        "predicted_from": numbers.predicted_from,
        "plan_error_d": numbers.plan_error_d,
        "plan_error_text": _difference(numbers.plan_error_d, "planned"),
        "counts": visit["withdrawn"] is None and not numbers.why_not,
        "why_not": list(numbers.why_not),
        "minus_text": refraction and refraction_text(minus_form(refraction)),
        "plus_text": refraction and refraction_text(plus_form(refraction)),
        "words": refraction and refraction_words(in_form(refraction, shown["cylinder_notation"])),
        "forms": refraction and both_forms(refraction, shown["cylinder_notation"]),
        "facts": visit_facts(visit, numbers.days, acuity_first=shown["acuity_first"]),
    }


#: What the difference is measured from, by where the prediction comes from.
_THAN: Final[dict[str | None, str]] = {
    None: "predicted",
    "decision": "predicted after the readings",
    "log": "predicted for what was done",
}


def _difference(error_d: float | None, than: str) -> str | None:
    if error_d is None:
        return None
    amount = quantity(error_d, "refraction_d")
    if not float(f"{abs(error_d):.2f}"):
        return say("{amount}: as {than}", amount=amount, than=than)
    return say(
        "{amount}: more {value} than {than}",
        amount=amount, value="myopic" if error_d < 0 else "hyperopic", than=than,
    )


OPERATION = Operation(
    "follow_up_case", "Visits against the prediction, what is due, and what to look into.", ITEMS, run
)
