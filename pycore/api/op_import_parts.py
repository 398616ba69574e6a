"""``import_parts``: parts of an exported archive as new records and reasons; stores nothing."""

from __future__ import annotations

from typing import Any

from pycore.api.case_door import today_of
from pycore.api.import_items import (
    KNOWN_ITEMS,
    NOW_ITEM,
    long_text,
    taken_of,
    taken_value,
    word_of,
)
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, listing, mapping, required
from pycore.errors import WrongType
from pycore.exchange.archive_import import case_of
from pycore.exchange.cell_values import CellFault, Marks
from pycore.exchange.columns import ROW_TABLES
from pycore.exchange.csv_import import Rejected, accept
from pycore.words import say


def _headers(value: Any, path: str, notes: Notes) -> dict[str, list[str]]:
    names = listing(long_text)
    source = mapping(value, path, notes)
    found = {str(key): names(one, f"{path}.{str(key)[:20]}", notes) for key, one in source.items()}
    if "eyes" not in found:
        raise WrongType(say("{path} has no eyes. Open the archive again.", path=path), field=path)
    return found


def _part(value: Any, path: str, notes: Notes) -> dict[str, Any]:
    source, line = mapping(value, path, notes), listing(long_text)
    entries = mapping(source.get("entries"), f"{path}.entries", notes)
    return {
        "eye": line(source.get("eye"), f"{path}.eye", notes),
        "entries": {table: listing(line)(entries.get(table, []), f"{path}.entries.{table}", notes)
                    for table in ROW_TABLES},
    }


ITEMS = (
    required("headers", _headers, about="As import_archive gave them."),
    required("parts", listing(_part), about="Some of the parts that import_archive gave."),
    required("decimal_mark", word_of((".", ","))),
    NOW_ITEM,
    *KNOWN_ITEMS,
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    taken, known, today = taken_of(request), set(request["known"]), today_of(request)
    marks = Marks(request["decimal_mark"], "ymd")
    for row, part in enumerate(request["parts"], request["first_row"]):
        try:
            case = case_of(part, request["headers"], marks, taken.persons, request["now"])
            accept(case, taken, row=row, today=today, known=known)
        except CellFault as fault:
            taken.rejected.append(Rejected(row, str(fault)))
    return Answer(taken_value(taken))


OPERATION = Operation("import_parts", "Parts of an exported archive as new records and reasons.", ITEMS, run)
