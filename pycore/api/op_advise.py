"""``advise``: from biometry, readings and haptics to how much to cut."""

from __future__ import annotations

from typing import Any

from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes
from pycore.api.titration_answer import titration_answer
from pycore.api.titration_request import ITEMS, read_case


def run(request: dict[str, Any], notes: Notes) -> Answer:
    case, provenance = read_case(request, notes)
    _, value = titration_answer(case, request["readings"], notes)
    return Answer(value, provenance)


OPERATION = Operation("advise", "How much haptic to cut, from biometry and readings.", ITEMS, run)
