"""``note_case``: the text of an operation note and of a follow-up card, free of identifiers."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.case_door import TODAY_ITEM, today_of
from pycore.api.case_numbers import sound_case
from pycore.api.follow_up_card import follow_up_card
from pycore.api.operation import Answer, Operation
from pycore.api.operation_note import operation_note
from pycore.api.schema import Notes, flag, mapping, optional, required
from pycore.api.shown_as import SHOWN_AS

ITEMS = (
    required("case", mapping, about="The stored record of one eye."),
    TODAY_ITEM,
    optional("dates", flag, default=False, about="Put dates in; without them days from surgery stand."),
    SHOWN_AS,
)

#: What the texts leave out, said beside them.
_FREE_OF: Final = (
    "Made from the record, without name, date of birth, hospital number, case code or lens name. Dates stand "
    "in it only if you ask for them. Put the patient's label on the printed page."
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """Both texts; only words of the glossary and numbers of the record stand in them."""
    case, today, dates = sound_case(request["case"]), today_of(request), request["dates"]
    cylinder = request["shown_as"]["cylinder_notation"]
    return Answer({
        "operation_note": operation_note(case, dates=dates, cylinder=cylinder),
        "follow_up_card": follow_up_card(case, today, dates=dates),
        "about": _FREE_OF,
    })


OPERATION = Operation(
    "note_case", "Operation note and follow-up card of one eye as plain text without identifiers.", ITEMS, run
)
