"""``check_case``: everything that is impossible, unusual or missing, and what is due."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.case_aphakic import aphakic_problem
from pycore.api.case_door import CASE_ITEM, TODAY_ITEM, checked_case, today_of
from pycore.api.case_fellow import compare_eyes
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, mapping, optional
from pycore.api.shown_as import cornea_otherwise
from pycore.api.wording import word
from pycore.records.case import Case, standing
from pycore.records.finding import Finding, Today, missing
from pycore.records.schedule import due_visits, lost_on, next_due
from pycore.records.stage import stage
from pycore.records.validate import Checked, worst_first
from pycore.words import counted, joined, say

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
    findings = worst_first([*checked.findings, *_aphakic(checked.sound)])
    if request["fellow"] is not None:
        fellow = checked_case(request["fellow"], today)[1].sound
        findings = worst_first([*compare_eyes(checked.sound, fellow), *findings])
    where = stage(checked.sound, today)
    text, due_on = _due(where, checked, today)
    value = {
        "case": case,
        "findings": [found.as_dict() for found in findings],
        "otherwise": cornea_otherwise(checked.sound["measurements"]),
        "stage": where,
        "due": text,
        "due_on": due_on,
        "due_why": _why(checked.sound, today) if due_on else [],
        "lost": where == "follow_up" and lost_on(checked.sound) is not None,
    }
    return Answer(value)


def _aphakic(case: Case) -> list[Finding]:
    """What keeps an entered aphakic reading from being used."""
    problem = aphakic_problem(case["aphakic"])
    if problem is None:
        return []
    return [missing(problem.field or "aphakic", "aphakic_not_used", say(
        "{message} Until then the aphakic reading is not used.",
        message=problem.message,
    ))]


def _due(where: str, checked: Checked, today: Today) -> tuple[str, str | None]:
    if where == "plan":
        return _due_plan(checked.findings), None
    if where == "theatre":
        return _due_theatre(checked.sound), None
    return _due_visit(checked.sound, today)


def _due_plan(findings: tuple[Finding, ...]) -> str:
    wrong = sum(found.severity == "impossible" for found in findings)
    if wrong:
        return say("Plan: {wrong} to correct", wrong=counted(wrong, "1 entry", "{number} entries"))
    absent = sum(found.code == "missing_for_plan" for found in findings)
    return say(
        "Plan: {absent} missing",
        absent=counted(absent, "1 entry", "{number} entries"),
    ) if absent else "Read back the plan"


def _due_theatre(case: Case) -> str:
    if case["decisions"]:
        return "Theatre: cut, flange and bury"
    taken = len(standing(case, "readings"))
    return say(
        "Theatre: {taken} taken",
        taken=counted(taken, "1 reading", "{number} readings"),
    ) if taken else "Theatre: first reading"


def _due_visit(case: Case, today: Today) -> tuple[str, str | None]:
    if case["surgery_on"] is None:
        return "Enter the date of surgery", None
    gone = lost_on(case)
    if gone is not None:
        why = word(case["lost_to_follow_up"]["reason"], "lost_reason").lower()
        return say("Lost to follow-up since {gone}: {why}", gone=gone, why=why), None
    due = next_due(due_visits(case, today))
    if due is None:
        return "No visit due", None
    return say(
        "{label} {due_words} {on}",
        label=due.slot.label, due_words=_DUE_WORDS[due.state], on=due.on,
    ), due.on


#: What a planned visit is for, by its label; yearly checks are for the flanges.
_FOR: Final = {
    "Day 1": "IOP, wounds, optic",
    "Week 1": "infection, retina, flanges",
    "Month 1": "first refraction that counts",
    "Month 3": "reference refraction, lens position",
    "Month 6": "late capture, drift",
    "Month 12": "refraction, flanges",
}


def _why(case: Case, today: Today) -> list[str]:
    """What the next visit is for, and what the last one left open."""
    due = next_due(due_visits(case, today))
    purpose = [] if due is None else [_FOR.get(due.slot.label, "cover of the flanges")]
    return [*purpose, *_left_open(case)]


def _left_open(case: Case) -> list[str]:
    seen = [visit for visit in standing(case, "follow_ups") if visit["on"] is not None]
    if not seen:
        return []
    last = max(seen, key=lambda visit: str(visit["on"]))
    found = [word(name, "complications").lower() for name in last["complications"] or ()]
    if last["flange_check"] == "thin":
        found.append("thin cover over a flange")
    return [say("last visit: {listed}", listed=joined(", ", found))] if found else []



OPERATION = Operation(
    "check_case", "Everything impossible, unusual or missing in a record, its stage and what is due.",
    ITEMS, run,
)
