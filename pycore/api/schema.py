"""Readers: from untrusted JSON values to checked plain values.

A reader takes ``(value, path, notes)`` and returns the checked value or raises a named
error whose ``field`` is ``path``. What is possible but unusual is noted as a warning, so
one pass over the request yields every warning. Readers are built from the glossary, so a
limit is written once.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from pycore.errors import (
    MissingField,
    NotFinite,
    OutOfRange,
    UnknownChoice,
    UnknownField,
    WrongType,
    WrongUnit,
)
from pycore.field_kinds import Field
from pycore.fields import FIELDS, unit_hint
from pycore.words import say

MOST_ITEMS: Final = 100_000


@dataclass(slots=True)
class Notes:
    """Warnings gathered while one request is answered."""

    warnings: list[dict[str, str | None]] = field(default_factory=list)

    def warn(self, code: str, message: str, *, field: str | None = None) -> None:
        self.warnings.append({"code": code, "field": field, "message": message})


Reader = Callable[[Any, str, Notes], Any]


@dataclass(frozen=True, slots=True)
class Item:
    """One key of a request object."""

    key: str
    reader: Reader
    required: bool = True
    default: Any = None
    about: str = ""


def required(key: str, reader: Reader | None = None, *, about: str = "") -> Item:
    """A key that must be present and not null; by default read as its glossary field."""
    return Item(key, reader or glossary(key), True, None, about)


def optional(key: str, reader: Reader | None = None, *, default: Any = None, about: str = "") -> Item:
    """A key that may be absent or null; then ``default``."""
    return Item(key, reader or glossary(key), False, default, about)


def glossary(name: str) -> Reader:
    """The reader that fits the glossary entry ``name``."""
    entry = FIELDS[name]
    return _READERS[entry.kind](entry)


def number(name: str) -> Reader:
    """A finite number within the limits of glossary field ``name``."""
    entry = FIELDS[name]

    def read(value: Any, path: str, notes: Notes) -> float:
        result = finite(value, path, notes)
        _refuse_impossible(result, path, entry)
        _note_unusual(result, path, entry, notes)
        return result

    return read


def finite(value: Any, path: str, notes: Notes) -> float:
    """Any finite number; no limits."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise WrongType(say(
            "{path} must be a number; got {value}. Enter digits only.",
            path=path, value=_kind(value),
        ), field=path)
    result = _as_float(value)
    if not math.isfinite(result):
        raise NotFinite(say(
            "{path} is not a finite number. Enter the measured value.",
            path=path,
        ), field=path)
    return result


def _as_float(value: int | float) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf


def _refuse_impossible(value: float, path: str, entry: Field) -> None:
    low, high = entry.lowest, entry.highest
    if (low is None or value >= low) and (high is None or value <= high):
        return
    hint = unit_hint(entry, value)
    limits = say(
        "{label} must lie between {low} and {high} {unit}",
        label=entry.label, low=f"{low:g}", high=f"{high:g}", unit=entry.unit,
    ).rstrip()
    kind = WrongUnit if hint else OutOfRange
    raise kind(say(
        "{limits}; got {value}. {value2}",
        limits=limits, value=f"{value:g}", value2=hint or "Check the value and its unit.",
    ), field=path)


def _note_unusual(value: float, path: str, entry: Field, notes: Notes) -> None:
    low, high = entry.usual_low, entry.usual_high
    if low is None or high is None or low <= value <= high:
        return
    notes.warn(
        "unusual_value",
        say(
            "{label} {value} {unit} is outside the usual {low} to {high}. Check it against the source.",
            label=entry.label, value=f"{value:g}", unit=entry.unit, low=f"{low:g}", high=f"{high:g}",
        ),
        field=path,
    )


def choice(name: str) -> Reader:
    """One of the words that glossary field ``name`` lists."""
    entry = FIELDS[name]

    def read(value: Any, path: str, notes: Notes) -> str:
        if not isinstance(value, str):
            raise WrongType(say(
                "{path} must be a word; got {value}.",
                path=path, value=_kind(value),
            ), field=path)
        if value not in entry.choices:
            raise UnknownChoice(say(
                "{path} must be one of {listed}.",
                path=path, listed=", ".join(entry.choices),
            ), field=path)
        return value

    return read


def flag(value: Any, path: str, notes: Notes) -> bool:
    """True or false, nothing else."""
    if not isinstance(value, bool):
        raise WrongType(say(
            "{path} must be true or false; got {value}.",
            path=path, value=_kind(value),
        ), field=path)
    return value


def text(value: Any, path: str, notes: Notes) -> str:
    """A string of at most 200 characters."""
    if not isinstance(value, str):
        raise WrongType(say("{path} must be text; got {value}.", path=path, value=_kind(value)), field=path)
    if len(value) > 200:
        raise OutOfRange(say(
            "{path} is {value} characters long; at most 200.",
            path=path, value=len(value),
        ), field=path)
    return value


def whole(low: int, high: int) -> Reader:
    """An integer from ``low`` to ``high``."""

    def read(value: Any, path: str, notes: Notes) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise WrongType(say(
                "{path} must be a whole number; got {value}.",
                path=path, value=_kind(value),
            ), field=path)
        if not low <= value <= high:
            raise OutOfRange(say(
                "{path} must lie between {low} and {high}.",
                path=path, low=low, high=high,
            ), field=path)
        return value

    return read


def mapping(value: Any, path: str, notes: Notes) -> dict[str, Any]:
    """Any JSON object, unread."""
    if not isinstance(value, dict):
        raise WrongType(say(
            "{value} must be an object; got {value2}.",
            value=path or "The request", value2=_kind(value),
        ), field=path or None)
    return value


def pair(reader: Reader) -> Reader:
    """Two values, first haptic then second."""

    def read(value: Any, path: str, notes: Notes) -> tuple[Any, Any]:
        if not isinstance(value, list) or len(value) != 2:
            raise WrongType(say("{path} must be a list of two, one for each haptic.", path=path), field=path)
        return reader(value[0], f"{path}[0]", notes), reader(value[1], f"{path}[1]", notes)

    return read


def listing(reader: Reader, *, most: int = MOST_ITEMS) -> Reader:
    """A list of at most ``most`` values."""

    def read(value: Any, path: str, notes: Notes) -> list[Any]:
        if not isinstance(value, list):
            raise WrongType(say(
                "{path} must be a list; got {value}.",
                path=path, value=_kind(value),
            ), field=path)
        if len(value) > most:
            raise OutOfRange(say(
                "{path} holds {value} entries; at most {most}.",
                path=path, value=len(value), most=most,
            ), field=path)
        return [reader(entry, f"{path}[{index}]", notes) for index, entry in enumerate(value)]

    return read


def record(*items: Item) -> Reader:
    """An object with exactly these keys; unknown keys are errors, never ignored."""
    known = {item.key: item for item in items}

    def read(value: Any, path: str, notes: Notes) -> dict[str, Any]:
        source = mapping(value, path, notes)
        _refuse_unknown(source, known, path)
        return {item.key: _read_item(item, source, path, notes) for item in items}

    read.items = items  # type: ignore[attr-defined]
    return read


def _refuse_unknown(source: Mapping[str, Any], known: Mapping[str, Item], path: str) -> None:
    for key in source:
        if key not in known:
            where = _join(path, str(key)[:60])
            raise UnknownField(say(
                "{where} is not known here. Known: {listed}.",
                where=where, listed=", ".join(known),
            ), field=where)


def _read_item(item: Item, source: Mapping[str, Any], path: str, notes: Notes) -> Any:
    where = _join(path, item.key)
    value = source.get(item.key)
    if value is not None:
        return item.reader(value, where, notes)
    if item.required:
        raise MissingField(say("{where} is missing. Enter it to go on.", where=where), field=where)
    # A copy: what one request fills in must not be there for the next one.
    return None if item.default is None else copy.copy(item.default)


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key


def _kind(value: Any) -> str:
    names = {dict: "an object", list: "a list", str: "text", bool: "true or false", type(None): "nothing"}
    return names.get(type(value), "a number")


_READERS: Final[dict[str, Callable[[Field], Reader]]] = {
    "number": lambda entry: number(entry.name),
    "integer": lambda entry: whole(int(entry.lowest or 0), int(entry.highest or 0)),
    "choice": lambda entry: choice(entry.name),
    "flag": lambda entry: flag,
    "text": lambda entry: text,
    "code": lambda entry: text,
    "date": lambda entry: text,
    "instant": lambda entry: text,
}
