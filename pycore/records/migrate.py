"""The one way back in for every stored record: :func:`restore`.

A record carries the number of its schema. An older one is brought up step by step with the
table :data:`STEPS`; a newer one is refused by name, so that an older program never rewrites
what it does not understand. Schema 1 is the first there ever was, so the table is empty: the
next schema adds its step from 1.

Checked by ``tests/records/test_migrate.py``.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from typing import Any, Final

from pycore.errors import NewerRecord, RecordError
from pycore.records.case import CASE, SCHEMA, Case, Group, Node, empty
from pycore.words import say

Step = Callable[[Case], Case]

#: From each older schema to the one after it.
STEPS: Final[Mapping[int, Step]] = {}


def restore(
    document: object, *, steps: Mapping[int, Step] = STEPS, current: int = SCHEMA
) -> Case:
    """The record in the current schema with every section present; the argument is not changed.

    Unknown keys and faulty values stay as they are: they are the validator's business.

    Raises :class:`RecordError` when it is not a record at all, :class:`NewerRecord` when a
    newer version wrote it.
    """
    return {**_filled(CASE, current_form(document, steps=steps, current=current)), "schema": current}


def current_form(
    document: object, *, steps: Mapping[int, Step] = STEPS, current: int = SCHEMA
) -> Case:
    """The record in the current schema as it is, absent sections absent; see :func:`restore`.
    A step gets a copy of its own to work on.
    """
    if not isinstance(document, dict):
        raise RecordError("This is not an eye's record. Restore it from a backup.", field="case")
    case: Case = document
    version = _version(case)
    if version > current:
        raise NewerRecord(
            say(
                "This eye was saved by a newer version (schema {version}; this one reads up to "
                "{current}). Update the app; until then the eye is shown and not changed.",
                version=version, current=current,
            ),
            field="schema",
        )
    while version < current:
        case, version = _stepped(case, version, steps), version + 1
    return case


def _version(case: Case) -> int:
    version: Any = case.get("schema")
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise RecordError(
            "The record does not say which schema it has. Restore it from a backup.", field="schema"
        )
    return version


def _stepped(case: Case, version: int, steps: Mapping[int, Step]) -> Case:
    step = steps.get(version)
    if step is None:
        raise RecordError(say(
            "Records of schema {version} cannot be read any more.",
            version=version,
        ), field="schema")
    return step(copy.deepcopy(case))


def _filled(group: Group, source: Case) -> Case:
    """``source`` with the absent and null sections of ``group`` put in, empty."""
    made = empty(group)
    return {**made, **{key: _section(group.members.get(key), value, made.get(key))
                       for key, value in source.items()}}


def _section(node: Node | None, value: Any, nothing: Any) -> Any:
    if value is None:
        return nothing
    if isinstance(node, Group) and isinstance(value, dict):
        return _filled(node, value)
    return value
