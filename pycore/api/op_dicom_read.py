"""``dicom_read``: what a DICOM file of measurements offers to one eye; stores nothing.

Values of the other side are refused, never turned. Beside each candidate stands what the record
has already. Needs pydicom, so only the worker that has it answers.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.import_items import base64_bytes
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, mapping, optional, required
from pycore.errors import Inconsistent
from pycore.exchange.dicom_import import Candidate, Way, measurements
from pycore.fields import FIELDS
from pycore.records.case import Case

ITEMS = (
    required("bytes_base64", base64_bytes, about="The whole file."),
    required("eye", about="The side of the eye on screen."),
    optional("values", mapping, default={}, about="What is entered already, by place."),
)
_SAME: Final = 1e-9
#: Files hold single precision; digits after these are not the biometer's.
_SINGLE_DIGITS: Final = 5


def run(request: dict[str, Any], notes: Notes) -> Answer:
    found = measurements(request["bytes_base64"])
    eye = request["eye"]
    sides = {one.side for one in found.candidates}
    if eye not in sides:
        other = next(iter(sides))
        raise Inconsistent(f"The file holds only the {other} eye, and this is the {eye} eye. Nothing was "
                           "taken. Check the file and the eye.", field="file")
    return Answer({
        "kind": found.kind,
        "candidates": [_value(one, eye, request["values"]) for one in found.candidates],
    })


def _value(one: Candidate, eye: str, entered: Case) -> dict[str, Any]:
    entry = FIELDS[one.field]
    refused = one.refused if one.side == eye else f"It is of the {one.side} eye; this is the {eye} eye."
    return {
        "side": one.side, "field": one.field, "label": entry.label, "unit": entry.unit,
        "decimals": entry.decimals, "value": round(one.value, _SINGLE_DIGITS),
        "about": list(one.about), "refused": refused,
        "ways": [] if refused else [_way(way, entered) for way in one.ways],
    }


def _way(way: Way, entered: Case) -> dict[str, Any]:
    values = [_place(path, value, entered.get(path)) for path, value in way.patch.items()]
    return {"words": way.words, "values": values, "conflict": any(value["differs"] for value in values)}


def _place(path: str, value: Any, now: Any) -> dict[str, Any]:
    field = FIELDS[path.rpartition(".")[2]]
    return {"path": path, "label": field.label, "unit": field.unit, "value": value, "now": now,
            "differs": now is not None and not _same(now, value)}


def _same(now: Any, value: Any) -> bool:
    numbers = isinstance(now, int | float) and isinstance(value, int | float)
    return abs(now - value) < _SAME if numbers else bool(now == value)


OPERATION = Operation("dicom_read", "What a DICOM file of measurements offers to one eye.", ITEMS, run)
