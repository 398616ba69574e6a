"""From stored records to parts, and from parts to the finished files."""

from __future__ import annotations

import base64
from dataclasses import dataclass, field
from typing import Any, Final

from pycore.api.case_door import checked_case
from pycore.api.case_follow_up import outcome_visit, planned_refraction_d, visit_numbers
from pycore.api.export_items import groups_value
from pycore.errors import GuylineError
from pycore.exchange.anonymise import fresh_identity
from pycore.exchange.bundle import archive, files
from pycore.exchange.csv_export import EYE_HEADER, Part, part_of, tables
from pycore.exchange.csv_text import Cell, Dialect
from pycore.exchange.csvw import described
from pycore.exchange.groups import Bands
from pycore.records.case import Case
from pycore.records.finding import Today
from pycore.records.stage import stage
from pycore.words import say

#: Copied from the visit whose refraction is the outcome.
_FROM_VISIT: Final = (
    "refraction_method", "sphere_d", "cylinder_d", "axis_deg", "vertex_mm", "udva_logmar",
    "cdva_logmar", "iop_mmhg",
)  # fmt: skip


@dataclass(slots=True)
class Taken:
    """Parts of the eyes that go into the file, and the others with the reason."""

    parts: list[Part] = field(default_factory=list)
    left_out: list[dict[str, str]] = field(default_factory=list)
    seen: set[str] = field(default_factory=set)


def take(documents: list[Case], today: Today, *, exclude_demo: bool) -> Taken:
    """Every document as a part, or the reason why not."""
    taken = Taken()
    for document in documents:
        why = _take(document, taken, today, exclude_demo=exclude_demo)
        if why is not None:
            taken.left_out.append({"code": _name(document), "why": why})
    return taken


def _take(document: Case, taken: Taken, today: Today, *, exclude_demo: bool) -> str | None:
    """Put the eye's part among the others, or say why not."""
    try:
        _, checked = checked_case(document, today)
    except GuylineError as error:
        return error.message
    if checked.impossible:
        found = checked.impossible[0]
        return say("{value}: {message}", value=found.path or "The record", message=found.message)
    case = checked.sound
    why = _unwanted(case, taken.seen, exclude_demo=exclude_demo)
    if why is None:
        taken.seen.add(case["code"])
        taken.parts.append(part_of(case, stage(case, today), outcome(case)))
    return why


def _unwanted(case: Case, seen: set[str], *, exclude_demo: bool) -> str | None:
    if case["code"] is None:
        return "It has no case code."
    if case["eye"] is None:
        return "The eye was not chosen."
    if case["code"] in seen:
        return "It was listed twice; it is in the file once."
    return "It is an invented eye." if case["demo"] and exclude_demo else None


def _name(document: Case) -> str:
    code = document.get("code")
    return code[:20] if isinstance(code, str) else "without code"


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


def finished(parts: list[Part], bands: Bands, dialect: Dialect) -> dict[str, Any]:
    """All files, the archive of them, and how well the worst hidden person hides."""
    made_tables = tables(parts, bands)
    made = files(made_tables, dialect, notes(bands))
    name = fresh_identity("X")
    groups = groups_value(parts, bands)
    return {
        "filename": f"guyline-eyes-{name}.csv",
        "csv": made[0].text,
        "rows": len(parts),
        "columns": list(EYE_HEADER),
        "described": [{"name": one.name, "unit": one.unit, "meaning": one.meaning}
                      for one in described("eyes")],
        "smallest_group": groups["smallest"],
        "groups": groups,
        "files": [
            {"name": f"guyline-{name}-{one.name}", "media_type": one.media_type, "text": one.text}
            for one in made
        ],
        "lines": {table.name: len(table.lines) for table in made_tables},
        "archive": {"name": f"guyline-{name}.zip", "media_type": "application/zip",
                    "base64": base64.b64encode(archive(made)).decode()},
    }


def notes(bands: Bands) -> list[str]:
    """What was done to make it de-identified, in sentences."""
    age, year = _band_words(bands.age_years), _band_words(bands.year_years)
    return [
        "De-identified: identities are random and new in every export; dates are days after surgery;",
        "free text, lens names, case codes and invented eyes are not in it.",
        say("Ages are {age}; 90 and over are one group. Years of surgery are {year}.", age=age, year=year),
        "Spherical equivalents are at a 12 mm vertex, cylinders minus cylinders, axes TABO.",
        "Errors are achieved minus predicted: negative is more myopic than predicted.",
        "An empty cell is a value that was not recorded.",
    ]


def _band_words(width: int | None) -> str:
    return "left out" if width is None else say("in bands of {width} years", width=width)
