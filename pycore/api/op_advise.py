"""``advise``: from biometry, readings and haptics to how much to cut."""

from __future__ import annotations

from typing import Any

from pycore.api.case_history import HISTORY_ITEMS, history_value, moved_advice, start_of, started
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes
from pycore.api.titration_answer import titration_answer
from pycore.api.titration_request import ITEMS, read_case


def run(request: dict[str, Any], notes: Notes) -> Answer:
    plain, provenance = read_case(request, notes)
    start = start_of(request, notes, formula=request["formula"])
    kept = [name for name, prior in (request["belief"] or {}).items() if prior is not None]
    case = started(plain, start, kept=kept)
    titration, value = titration_answer(case, request["readings"], notes)
    value["history"] = history_value(start, plain, case, moved_advice(plain, case, titration))
    return Answer(value, provenance)


OPERATION = Operation(
    "advise", "How much haptic to cut, from biometry and readings.", (*ITEMS, *HISTORY_ITEMS), run
)
