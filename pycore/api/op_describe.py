"""``describe``: every operation with its fields, and the whole glossary."""

from __future__ import annotations

from typing import Any

from pycore import __version__
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Item, Notes
from pycore.api.table import MODULES, find
from pycore.fields import FIELDS
from pycore.optics.axis_dial import axis_points


def _describe_item(item: Item) -> dict[str, Any]:
    inner = getattr(item.reader, "items", ())
    return {
        "name": item.key,
        "required": item.required,
        "default": item.default,
        "about": item.about or (FIELDS[item.key].meaning if item.key in FIELDS else ""),
        "fields": [_describe_item(entry) for entry in inner],
    }


def _describe(operation: Operation) -> dict[str, Any]:
    return {
        "summary": operation.summary,
        "fields": [_describe_item(item) for item in operation.items],
    }


def run(request: dict[str, Any], notes: Notes) -> Answer:
    return Answer(
        {
            "core_version": __version__,
            "operations": {name: _describe(find(name)) for name in MODULES},
            "fields": {name: entry.as_dict() for name, entry in FIELDS.items()},
            "axis_points": axis_points(),
        }
    )


OPERATION = Operation("describe", "Every operation with its fields, and the glossary.", (), run)
