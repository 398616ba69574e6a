"""``advise``: from biometry, readings and haptics to how much to cut."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pycore.api.box_items import BOX_ITEM, BOX_TODAY_ITEM, CONSTANTS
from pycore.api.case_history import HISTORY_ITEMS, history_value, moved_advice, start_of, started
from pycore.api.operation import Answer, Operation
from pycore.api.other_options import lenses_at_hand
from pycore.api.schema import Notes
from pycore.api.titration_answer import titration_answer
from pycore.api.titration_request import ITEMS, read_case
from pycore.belief.eye import EyeModel


def run(request: dict[str, Any], notes: Notes) -> Answer:
    plain, provenance = read_case(request, notes)
    start = start_of(request, notes, formula=request["formula"])
    kept = [name for name, prior in (request["belief"] or {}).items() if prior is not None]
    case = started(plain, start, kept=kept)
    at_hand = lenses_at_hand(
        request["box"], request["constants"], _eye_with(request),
        formula=request["formula"], today=request["today"],
    )
    titration, value = titration_answer(case, request["readings"], notes, at_hand=at_hand, start=start)
    value["history"] = history_value(start, plain, case, moved_advice(plain, case, titration))
    return Answer(value, provenance)


def _eye_with(request: dict[str, Any]) -> Callable[[dict[str, Any]], EyeModel]:
    """This eye with a lens of the box in place of its own."""

    def make(row: dict[str, Any]) -> EyeModel:
        constants = {name: row[name] for name in CONSTANTS}
        changed = {**request, "constants": constants, "lens_power_d": row["lens_power_d"]}
        return read_case(changed, Notes())[0].eye

    return make


OPERATION = Operation(
    "advise",
    "How much haptic to cut, from biometry and readings.",
    (*ITEMS, *HISTORY_ITEMS, BOX_ITEM, BOX_TODAY_ITEM),
    run,
)
