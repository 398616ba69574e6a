"""``results``: how the surgeon's eyes turned out, with what counts, what does not, and the graphs.

Takes the rows of ``result_rows`` (or stored eyes). No figure here waits for numpy; the intervals
that need it come from ``result_intervals``. Demo eyes are never in a figure beside real ones.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from pycore.api.operation import Answer, Operation
from pycore.api.result_figures import (
    constants_value,
    days_value,
    formulas_value,
    moments_value,
    summary_value,
    titration_value,
)
from pycore.api.result_graphs import FEW, graphs_value
from pycore.api.result_items import RESULT_ITEMS, LeftOut, Sorted, person_of, rows_of, sort_rows
from pycore.api.result_rows import MOVEMENT_PER_MM
from pycore.api.result_series import comparison, series
from pycore.api.schema import Notes
from pycore.records.schedule import FIRST_COUNTING_DAY
from pycore.words import joined, say

ALL_EYES: Final = (
    "Every eye counts. Intervals take both eyes of a person as one source, never as two independent eyes."
)
ONE_EYE: Final = (
    "One eye a person: the one operated first, the right one if both were operated on the same day."
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """Figures, graphs and lists of what does not count."""
    found = sort_rows(rows_of(request), request)
    if found.unknown:
        notes.warn("not_among_eyes", say(
            "Excluded by hand but not among the eyes: {listed}.",
            listed=joined(", ", found.unknown),
        ),
                   field="excluded")
    compared = comparison(found.counted)
    value = {
        "counts": _counts(found),
        "rule": ONE_EYE if request["one_eye_per_person"] else ALL_EYES,
        "days": days_value(found.counted),
        "figures": summary_value(series(found.counted, "target")),
        "moments": moments_value(found.counted),
        "titration": titration_value(found.counted),
        "formulas": formulas_value(compared),
        "constants": constants_value(compared),
        "graphs": graphs_value(found),
        "waiting": _listed(found.waiting),
        "excluded": _listed((*found.by_rule, *found.by_hand, *found.other_eyes)),
    }
    return Answer(value, _provenance())


def _counts(found: Sorted) -> dict[str, int]:
    return {
        "records": found.records,
        "counted": len(found.counted),
        "persons": len(set(map(person_of, found.counted))),
        "waiting": len(found.waiting),
        "by_rule": len(found.by_rule),
        "by_hand": len(found.by_hand),
        "other_eyes": len(found.other_eyes),
        "few": FEW,
    }


def _listed(eyes: tuple[LeftOut, ...]) -> list[dict[str, Any]]:
    return [asdict(one) for one in eyes]


def _provenance() -> dict[str, Any]:
    return {
        "error": "achieved minus expected; negative is more myopic than expected",
        "intervals": "95 %; means: t over persons; shares: Wilson at the effective number of eyes; "
                     "differences: paired, t over persons",
        "visit": say(
            "first settled refraction from day {first_counting_day}",
            first_counting_day=FIRST_COUNTING_DAY,
        ),
        "movement_per_mm": MOVEMENT_PER_MM,
    }


OPERATION = Operation(
    "results", "How the eyes turned out: figures, what titration added, formulas, constants, graphs.",
    RESULT_ITEMS, run,
)
