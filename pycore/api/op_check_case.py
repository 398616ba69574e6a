"""``check_case``: everything that is impossible, unusual or missing, and what is due."""

from __future__ import annotations

from typing import Any

from pycore.api.case_door import CASE_ITEM, TODAY_ITEM, checked_case, today_of
from pycore.api.case_fellow import compare_eyes
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, mapping, optional
from pycore.records.case import Case, standing
from pycore.records.finding import Finding, Today
from pycore.records.schedule import due_visits, next_due
from pycore.records.stage import stage
from pycore.records.validate import Checked, worst_first

ITEMS = (
    CASE_ITEM,
    optional("fellow", mapping, about="The stored record of the other eye of the same person."),
    TODAY_ITEM,
)

_DUE_WORDS = {"late": "overdue since", "due": "due", "later": "due"}


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """The restored record, all findings worst first, the stage and what is due next."""
    today = today_of(request)
    case, checked = checked_case(request["case"], today)
    findings = [*checked.findings]
    if request["fellow"] is not None:
        fellow = checked_case(request["fellow"], today)[1].sound
        findings = worst_first([*compare_eyes(checked.sound, fellow), *findings])
    where = stage(checked.sound, today)
    text, due_on = _due(where, checked, today)
    value = {
        "case": case,
        "findings": [found.as_dict() for found in findings],
        "stage": where,
        "due": text,
        "due_on": due_on,
    }
    return Answer(value)


def _due(where: str, checked: Checked, today: Today) -> tuple[str, str | None]:
    if where == "plan":
        return _due_plan(checked.findings), None
    if where == "theatre":
        return _due_theatre(checked.sound), None
    return _due_visit(checked.sound, today)


def _due_plan(findings: tuple[Finding, ...]) -> str:
    wrong = sum(found.severity == "impossible" for found in findings)
    if wrong:
        return f"Plan: {_counted(wrong, 'entry', 'entries')} to correct"
    absent = sum(found.code == "missing_for_plan" for found in findings)
    return f"Plan: {_counted(absent, 'entry', 'entries')} missing" if absent else "Read back the plan"


def _due_theatre(case: Case) -> str:
    if case["decisions"]:
        return "Theatre: cut, flange and bury"
    taken = len(standing(case, "readings"))
    return f"Theatre: {_counted(taken, 'reading', 'readings')} taken" if taken else "Theatre: first reading"


def _due_visit(case: Case, today: Today) -> tuple[str, str | None]:
    if case["surgery_on"] is None:
        return "Enter the date of surgery", None
    due = next_due(due_visits(case, today))
    if due is None:
        return "No visit due", None
    return f"{due.slot.label} {_DUE_WORDS[due.state]} {due.on}", due.on


def _counted(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"


OPERATION = Operation(
    "check_case", "Everything impossible, unusual or missing in a record, its stage and what is due.",
    ITEMS, run,
)
