"""Every value of a record that may leave it, as a named place: the record's own table, flattened.

A place knows how to read its value from an anonymised record's group, and how to put one
back into an empty record. Export and import use the same places, so what one writes the
other reads. Words and rows inside a row become one text cell: words separated by blanks; of
inner rows ``key=value`` joined by ``/``, rows separated by blanks. Nothing in them can hold
a blank, as only glossary words and numbers get that far.

Checked by ``tests/exchange/test_round_trip.py``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from pycore.exchange.anonymise import KEPT_KINDS
from pycore.exchange.csv_text import Cell, number_text
from pycore.fields import FIELDS, Field
from pycore.records.case import Case, Group, Node, Rows, Value, Words

#: An empty list of words is not an absent one: somebody looked and found nothing.
NONE: Final = "none"


@dataclass(frozen=True, slots=True)
class Leaf:
    """One place: column name, keys from the group down, what stands there."""

    name: str
    keys: tuple[str, ...]
    node: Node

    @property
    def field(self) -> str | None:
        """The glossary field of a single value or of its words."""
        return self.node.field if isinstance(self.node, Value | Words) else None


def leaves(group: Group, *, prefix: str = "", keys: tuple[str, ...] = ()) -> Iterator[Leaf]:
    """All places of ``group`` in its own order; texts, dates and codes are none."""
    for key, node in group.members.items():
        yield from _leaves(node, prefix + key, (*keys, key))


def _leaves(node: Node, name: str, keys: tuple[str, ...]) -> Iterator[Leaf]:
    if isinstance(node, Group):
        inner = list(leaves(node, prefix=f"{name}_", keys=keys))
        yield from inner or [Leaf(name, keys, node)]
    elif isinstance(node, Rows | Words) or (isinstance(node, Value) and kept(FIELDS[node.field])):
        yield Leaf(name, keys, node)


def kept(field: Field) -> bool:
    """Whether values of this kind may leave."""
    return field.kind in KEPT_KINDS


def cell_at(leaf: Leaf, group: Case) -> Cell:
    """The cell of ``leaf`` from an anonymised ``group``."""
    found: Any = group
    for key in leaf.keys:
        if not isinstance(found, dict):
            return None
        found = found.get(key)
    return _written(leaf.node, found)


def _written(node: Node, value: Any) -> Cell:
    if isinstance(node, Words):
        return None if value is None else " ".join(value) or NONE
    if isinstance(node, Rows):
        return " ".join(_row_text(row) for row in value or ()) or None
    if isinstance(node, Group):
        return bool(value)
    assert value is None or isinstance(value, float | int | bool | str)
    return value


def _row_text(row: Case) -> str:
    return "/".join(f"{key}={_part(value)}" for key, value in row.items() if value is not None)


def _part(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if isinstance(value, str) else number_text(value)


def put(leaf: Leaf, group: Case, value: Any) -> None:
    """Put a read value back; groups that may be absent come into being when something is in them."""
    found = group
    for key in leaf.keys[:-1]:
        if found.get(key) is None:
            found[key] = {}
        found = found[key]
    found[leaf.keys[-1]] = value
