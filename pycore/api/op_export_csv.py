"""``export_csv``: chosen eyes as one de-identified file, and which were left out and why."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.case_door import TODAY_ITEM, checked_case, today_of
from pycore.api.case_follow_up import (
    outcome_visit,
    planned_refraction_d,
    visit_numbers,
)
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, flag, listing, mapping, optional, required
from pycore.errors import GuylineError
from pycore.exchange.anonymise import fresh_identity
from pycore.exchange.columns import CSV_SCHEMA
from pycore.exchange.csv_export import (
    HEADER,
    described_columns,
    export_rows,
    export_text,
    smallest_group,
)
from pycore.exchange.csv_text import Cell
from pycore.records.case import Case
from pycore.records.finding import Today
from pycore.records.stage import stage

ITEMS = (
    required("cases", listing(mapping), about="The stored records to export."),
    optional("exclude_demo", flag, default=True, about="Leave invented eyes out."),
    TODAY_ITEM,
)

Eye = tuple[Case, str, dict[str, Cell]]

#: Copied from the visit whose refraction is the outcome.
_FROM_VISIT: Final = (
    "refraction_method", "sphere_d", "cylinder_d", "axis_deg", "vertex_mm", "udva_logmar",
    "cdva_logmar", "iop_mmhg",
)  # fmt: skip


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """The file's text, and every eye that is not in it with the reason."""
    today = today_of(request)
    eyes: list[Eye] = []
    left_out: list[dict[str, str]] = []
    seen: set[str] = set()
    for document in request["cases"]:
        why = _take(document, eyes, seen, today, exclude_demo=request["exclude_demo"])
        if why is not None:
            left_out.append({"code": _name(document), "why": why})
    rows = export_rows(eyes)
    value = {
        "filename": f"guyline-eyes-{fresh_identity('X')}.csv",
        "csv": export_text(rows),
        "rows": len(rows),
        "columns": list(HEADER),
        "described": described_columns(),
        "left_out": left_out,
        "smallest_group": smallest_group(rows),
    }
    return Answer(value, {"csv_schema": CSV_SCHEMA})


def _take(
    document: Case, eyes: list[Eye], seen: set[str], today: Today, *, exclude_demo: bool
) -> str | None:
    """Put the eye among ``eyes``, or say why not."""
    try:
        _, checked = checked_case(document, today)
    except GuylineError as error:
        return error.message
    if checked.impossible:
        found = checked.impossible[0]
        return f"{found.path or 'The record'}: {found.message}"
    case = checked.sound
    why = _unwanted(case, seen, exclude_demo=exclude_demo)
    if why is None:
        seen.add(case["code"])
        eyes.append((case, stage(case, today), outcome(case)))
    return why


def _unwanted(case: Case, seen: set[str], *, exclude_demo: bool) -> str | None:
    if case["code"] is None:
        return "It has no case code."
    if case["eye"] is None:
        return "The eye was not chosen."
    if case["code"] in seen:
        return "It was listed twice; it is in the file once."
    return "It is an invented eye." if case["demo"] and exclude_demo else None


def outcome(case: Case) -> dict[str, Cell]:
    """The numbers of the first refraction from day 28 on; what was planned in any case."""
    planned: dict[str, Cell] = {"plan_predicted_d": planned_refraction_d(case)}
    visit = outcome_visit(case)
    if visit is None:
        return planned
    numbers = visit_numbers(case, visit)
    return {
        **planned,
        **{key: visit[key] for key in _FROM_VISIT},
        "days": numbers.days,
        "se_d": numbers.se_d,
        "predicted_d": numbers.predicted_d,
        "error_d": numbers.error_d,
        "plan_error_d": numbers.plan_error_d,
        "counts": not numbers.why_not,
    }


def _name(document: Case) -> str:
    code = document.get("code")
    return code[:20] if isinstance(code, str) else "without code"


OPERATION = Operation(
    "export_csv", "Chosen eyes as one de-identified CSV file, one row per eye.", ITEMS, run
)
