"""From any JSON value to a sound record: every key present, every value of its kind.

:func:`examine` walks the table of :mod:`pycore.records.case` over whatever it is given. It
never raises and never stops at the first fault. What cannot be (text in a number, an
unknown word, NaN, a value beyond its limits) is reported and left out of the sound copy, so
that everything after it may trust the copy; the record itself is not changed. Keys that the
table does not know are reported and stay in the record.

Checked by ``tests/records/test_validate.py``.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Final

from pycore.field_kinds import Field
from pycore.fields import FIELDS, unit_hint
from pycore.records.case import (
    CASE,
    SCHEMA,
    Anything,
    Case,
    Group,
    Node,
    Rows,
    Value,
    Words,
    empty,
)
from pycore.records.codes import is_code
from pycore.records.finding import Finding, impossible, unusual
from pycore.records.moments import as_date, as_instant
from pycore.words import say

#: Longest text that a value may hold.
MOST_CHARACTERS: Final = 200
#: More rows of one kind than any eye can have; beyond it only the first are read.
MOST_ROWS: Final = 500
_LEAST: Final = -sys.float_info.max
_MOST: Final = sys.float_info.max
_NUMBERS: Final = frozenset({float, int})

#: From a value and its path to the sound value; what is wrong goes to the findings.
Read = Callable[[Any, str, list[Finding]], Any]


@dataclass(slots=True)
class Examined:
    """The sound copy, and what was found on the way."""

    sound: Case
    findings: list[Finding] = field(default_factory=list)


class _Fault(Exception):
    """A value that cannot be; carries the finding's code and message."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


def examine(document: object) -> Examined:
    """The sound copy of ``document`` and everything its values alone show to be wrong."""
    findings: list[Finding] = []
    source = _object(document, "", "The record", findings)
    content = {key: value for key, value in source.items() if key != "schema"}
    return Examined({"schema": SCHEMA, **_record(content, "", findings)}, findings)


def _group(node: Group) -> Read:
    """Reads an object; what its members are is looked up here once and not for every record."""
    members = [(key, _reader(member), _nothing(member)) for key, member in node.members.items()]

    def read(value: Any, path: str, findings: list[Finding]) -> Case:
        source = _object(value, path, path or "The record", findings)
        _note_unknown(source, node, path, findings)
        start = f"{path}." if path else ""
        sound: Case = {}
        for key, inner, nothing in members:
            given = source.get(key)
            if given is not None:
                sound[key] = inner(given, start + key, findings)
            else:
                sound[key] = None if nothing is None else nothing()
        return sound

    return read


def _note_unknown(source: Case, node: Group, path: str, findings: list[Finding]) -> None:
    if source.keys() <= node.members.keys():
        return
    for key in source:
        if key not in node.members:
            findings.append(unusual(_join(path, str(key)[:60]), "unknown_key", "This entry is not "
                                    "known to this version. It is kept, and not used."))


def _nothing(node: Node) -> Callable[[], Any] | None:
    """Makes what stands where nothing was entered; ``None`` where that is null."""
    if isinstance(node, Group) and not node.optional:
        return lambda: empty(node)
    return list if isinstance(node, Rows) else None


def _rows(node: Rows) -> Read:
    inner = _group(node.row)

    def read(value: Any, path: str, findings: list[Finding]) -> list[Case]:
        if not isinstance(value, list):
            findings.append(impossible(path, "wrong_type", say(
                "{path} must be a list. It is not used.",
                path=path,
            )))
            return []
        if len(value) > MOST_ROWS:
            findings.append(impossible(path, "too_many", say(
                "{path} holds {value} entries; only the first {most_rows} are read. Withdraw what does "
                "not belong here.",
                path=path, value=len(value), most_rows=MOST_ROWS,
            )))
        return [inner(row, f"{path}[{place}]", findings) for place, row in enumerate(value[:MOST_ROWS])]

    return read


def _anything(node: Anything) -> Read:
    return lambda value, path, findings: _object(value, path, path, findings)


def _words(node: Words) -> Read:
    inner = _value(Value(node.field))

    def read(value: Any, path: str, findings: list[Finding]) -> list[str]:
        if not isinstance(value, list):
            findings.append(impossible(path, "wrong_type", say("{path} must be a list of words.", path=path)))
            return []
        words = (inner(word, f"{path}[{place}]", findings) for place, word in enumerate(value))
        return list(dict.fromkeys(word for word in words if word is not None))

    return read


def _value(node: Value) -> Read:
    """Reads a value; an ordinary one is known at a glance, any other is looked at in full."""
    entry = FIELDS[node.field]
    kind = _KINDS[entry.kind]

    def whole(value: Any, path: str, findings: list[Finding]) -> Any:
        try:
            result = kind(value, entry)
        except _Fault as fault:
            findings.append(impossible(path, fault.code, str(fault)))
            return None
        _note_unusual(result, entry, path, findings)
        return result

    return _GLANCES[entry.kind](entry, whole) if entry.kind in _GLANCES else whole


def _glance_at_number(entry: Field, whole: Read) -> Read:
    """Within possible and usual limits; not a number and infinity are never within them."""
    low = max(_LEAST if limit is None else limit for limit in (entry.lowest, entry.usual_low))
    high = min(_MOST if limit is None else limit for limit in (entry.highest, entry.usual_high))

    def read(value: Any, path: str, findings: list[Finding]) -> Any:
        if type(value) in _NUMBERS and low <= value <= high:
            return float(value)
        return whole(value, path, findings)

    return read


def _glance_at_choice(entry: Field, whole: Read) -> Read:
    words = frozenset(entry.choices)

    def read(value: Any, path: str, findings: list[Finding]) -> Any:
        return value if type(value) is str and value in words else whole(value, path, findings)

    return read


def _glance_at_text(entry: Field, whole: Read) -> Read:
    def read(value: Any, path: str, findings: list[Finding]) -> Any:
        if type(value) is str and len(value) <= MOST_CHARACTERS:
            return value
        return whole(value, path, findings)

    return read


def _note_unusual(value: Any, entry: Field, path: str, findings: list[Finding]) -> None:
    low, high = entry.usual_low, entry.usual_high
    if low is None or high is None or low <= value <= high:
        return
    findings.append(unusual(path, "unusual_value", say(
        "{label} {value} {unit} is outside the usual {low} to {high}. Check it against the source.",
        label=entry.label, value=f"{value:g}", unit=entry.unit, low=f"{low:g}", high=f"{high:g}",
    )))


def _object(value: Any, path: str, name: str, findings: list[Finding]) -> Case:
    if isinstance(value, dict):
        return value
    findings.append(impossible(path, "wrong_type", say(
        "{name} must be an object. It is not used.",
        name=name,
    )))
    return {}


def _number(value: Any, entry: Field) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _Fault("wrong_type", say("{label} must be a number. Enter digits only.", label=entry.label))
    result = _as_float(value)
    if not math.isfinite(result):
        raise _Fault("not_finite", say(
            "{label} is not a finite number. Enter the measured value.",
            label=entry.label,
        ))
    _refuse_impossible(result, entry)
    return result


def _as_float(value: int | float) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf


def _refuse_impossible(value: float, entry: Field) -> None:
    low, high = entry.lowest, entry.highest
    if (low is None or value >= low) and (high is None or value <= high):
        return
    hint = unit_hint(entry, value)
    limits = say(
        "{label} must lie between {low} and {high} {unit}",
        label=entry.label, low=f"{low:g}", high=f"{high:g}", unit=entry.unit,
    ).rstrip()
    advice = hint or "Check the value and its unit."
    raise _Fault("wrong_unit" if hint else "out_of_range", say(
        "{limits}; got {value}. {advice}",
        limits=limits, value=f"{value:g}", advice=advice,
    ))


def _integer(value: Any, entry: Field) -> int:
    result = _number(value, entry)
    if not result.is_integer():
        raise _Fault("wrong_type", say("{label} must be a whole number.", label=entry.label))
    return int(result)


def _choice(value: Any, entry: Field) -> str:
    word = _text(value, entry)
    if word not in entry.choices:
        raise _Fault("unknown_choice", say(
            "{label} must be one of {listed}.",
            label=entry.label, listed=", ".join(entry.choices),
        ))
    return word


def _flag(value: Any, entry: Field) -> bool:
    if not isinstance(value, bool):
        raise _Fault("wrong_type", say("{label} must be yes or no.", label=entry.label))
    return value


def _text(value: Any, entry: Field) -> str:
    if not isinstance(value, str):
        raise _Fault("wrong_type", say("{label} must be text.", label=entry.label))
    if len(value) > MOST_CHARACTERS:
        raise _Fault("out_of_range", say(
            "{label} is {value} characters long; at most {most_characters}. Shorten it.",
            label=entry.label, value=len(value), most_characters=MOST_CHARACTERS,
        ))
    return value


def _code(value: Any, entry: Field) -> str:
    if not is_code(value):
        raise _Fault("wrong_code", say(
            "{label} is not a valid code: a character is wrong or two are swapped. Read it again from "
            "the notes.",
            label=entry.label,
        ))
    return str(value)


def _date(value: Any, entry: Field) -> str:
    if not isinstance(value, str) or as_date(value) is None:
        raise _Fault("not_a_date", say("{label} must be a date like 2026-10-06.", label=entry.label))
    return value


def _instant(value: Any, entry: Field) -> str:
    if not isinstance(value, str) or as_instant(value) is None:
        raise _Fault("not_a_date", say(
            "{label} must be a UTC time like 2026-10-06T07:15:00Z.",
            label=entry.label,
        ))
    return value


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key


_KINDS: Final[dict[str, Callable[[Any, Field], Any]]] = {
    "number": _number,
    "integer": _integer,
    "choice": _choice,
    "flag": _flag,
    "text": _text,
    "code": _code,
    "date": _date,
    "instant": _instant,
}

#: What needs no second look, for the kinds that most values are of.
_GLANCES: Final[dict[str, Callable[[Field, Read], Read]]] = {
    "number": _glance_at_number,
    "choice": _glance_at_choice,
    "text": _glance_at_text,
}

_READERS: Final[dict[type, Callable[[Any], Read]]] = {
    Group: _group,
    Rows: _rows,
    Anything: _anything,
    Words: _words,
    Value: _value,
}


def _reader(node: Node) -> Read:
    return _READERS[type(node)](node)


_record: Final = _group(CASE)
