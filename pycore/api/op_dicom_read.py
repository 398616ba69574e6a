"""``dicom_read``: what a DICOM file of measurements offers to one eye; stores nothing.

Only values of the eye asked for are answered: those of the other side are named as being there
and kept back. Needs pydicom, so only the worker that has it answers.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.import_items import base64_bytes
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, required
from pycore.errors import Inconsistent
from pycore.exchange.dicom_import import measurements
from pycore.exchange.dicom_items import Candidate, Way
from pycore.fields import FIELDS

ITEMS = (
    required("bytes_base64", base64_bytes, about="The whole file."),
    required("eye", about="The side of the eye on screen."),
)
#: Files hold single precision; digits after these are not the instrument's.
_SINGLE_DIGITS: Final = 5
#: The record's names whose glossary entry has another name.
_RENAMED: Final = {"udva_notation": "acuity_notation", "cdva_notation": "acuity_notation"}


def run(request: dict[str, Any], notes: Notes) -> Answer:
    found = measurements(request["bytes_base64"])
    eye = request["eye"]
    sides = {one.side for one in found.candidates}
    others = sorted(sides - {eye})
    if eye not in sides:
        raise Inconsistent(f"The file holds only the {others[0]} eye, and this is the {eye} eye. Nothing was "
                           "taken. Check the file and the eye.", field="file")
    return Answer({
        "kind": found.kind,
        "places": list(found.places),
        "candidates": [_value(one) for one in found.candidates if one.side == eye],
        "kept_back": others[0] if others else None,
    })


def _value(one: Candidate) -> dict[str, Any]:
    entry = FIELDS[one.field]
    return {
        "side": one.side, "field": one.field, "label": entry.label, "unit": entry.unit,
        "decimals": entry.decimals, "value": round(one.value, _SINGLE_DIGITS),
        "about": list(one.about), "refused": one.refused, "ways": [_way(way) for way in one.ways],
    }


def _way(way: Way) -> dict[str, Any]:
    return {"words": way.words, "values": [_entry(name, value) for name, value in way.patch.items()]}


def _entry(name: str, value: Any) -> dict[str, Any]:
    field = _RENAMED.get(name, name)
    return {"name": name, "field": field, "label": FIELDS[field].label, "unit": FIELDS[field].unit,
            "value": value}


OPERATION = Operation("dicom_read", "What a DICOM file of measurements offers to one eye.", ITEMS, run)
