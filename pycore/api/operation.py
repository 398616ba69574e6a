"""What an operation is: a name, a request reader, and a function on plain values."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from pycore.api.schema import Item, Notes, Reader, record


@dataclass(slots=True)
class Answer:
    """A value with what it rests on; warnings travel in :class:`Notes`."""

    value: dict[str, Any]
    provenance: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Operation:
    """One entry of the operation table."""

    name: str
    summary: str
    items: tuple[Item, ...]
    run: Callable[[dict[str, Any], Notes], Answer]

    def reader(self) -> Reader:
        return record(*self.items)
