"""``advise``: from biometry, readings and haptics to how much to cut."""

from __future__ import annotations

from typing import Any

from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes
from pycore.api.titration_items import advice_value
from pycore.api.titration_notes import note_titration
from pycore.api.titration_request import ITEMS, read_case
from pycore.planning.titrate import titrate, without_doubtful


def run(request: dict[str, Any], notes: Notes) -> Answer:
    case, provenance = read_case(request, notes)
    titration = titrate(case)
    note_titration(case, titration, notes)
    value = advice_value(titration, target_d=case.target_d)
    doubtful = without_doubtful(case, titration)
    value["without_doubtful"] = doubtful and {
        "reading": doubtful[0],
        **advice_value(doubtful[1], target_d=case.target_d),
    }
    return Answer(value, provenance)


OPERATION = Operation("advise", "How much haptic to cut, from biometry and readings.", ITEMS, run)
