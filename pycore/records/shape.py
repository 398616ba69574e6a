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
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Final

from pycore.fields import FIELDS, Field, unit_hint
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

#: Longest text that a value may hold.
MOST_CHARACTERS: Final = 200
#: More rows of one kind than any eye can have; beyond it only the first are read.
MOST_ROWS: Final = 500


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
    return Examined({"schema": SCHEMA, **_group(CASE, content, "", findings)}, findings)


def _node(node: Node, value: Any, path: str, findings: list[Finding]) -> Any:
    if isinstance(node, Group) and value is None:
        return None if node.optional else empty(node)
    if value is None:
        return [] if isinstance(node, Rows) else None
    return _WALKERS[type(node)](node, value, path, findings)


def _group(node: Group, value: Any, path: str, findings: list[Finding]) -> Case:
    source = _object(value, path, path or "The record", findings)
    for key in source:
        if key not in node.members:
            findings.append(unusual(_join(path, str(key)[:60]), "unknown_key", "This entry is not "
                                    "known to this version. It is kept, and not used."))
    return {
        key: _node(member, source.get(key), _join(path, key), findings)
        for key, member in node.members.items()
    }


def _rows(node: Rows, value: Any, path: str, findings: list[Finding]) -> list[Case]:
    if not isinstance(value, list):
        findings.append(impossible(path, "wrong_type", f"{path} must be a list. It is not used."))
        return []
    if len(value) > MOST_ROWS:
        findings.append(impossible(path, "too_many", f"{path} holds {len(value)} entries; only the "
                                   f"first {MOST_ROWS} are read. Withdraw what does not belong here."))
    return [
        _group(node.row, row, f"{path}[{place}]", findings)
        for place, row in enumerate(value[:MOST_ROWS])
    ]


def _anything(node: Anything, value: Any, path: str, findings: list[Finding]) -> Case:
    return _object(value, path, path, findings)


def _words(node: Words, value: Any, path: str, findings: list[Finding]) -> list[str]:
    if not isinstance(value, list):
        findings.append(impossible(path, "wrong_type", f"{path} must be a list of words."))
        return []
    read = (_value(Value(node.field), word, f"{path}[{place}]", findings)
            for place, word in enumerate(value))
    return list(dict.fromkeys(word for word in read if word is not None))


def _value(node: Value, value: Any, path: str, findings: list[Finding]) -> Any:
    entry = FIELDS[node.field]
    try:
        result = _KINDS[entry.kind](value, entry)
    except _Fault as fault:
        findings.append(impossible(path, fault.code, str(fault)))
        return None
    _note_unusual(result, entry, path, findings)
    return result


def _note_unusual(value: Any, entry: Field, path: str, findings: list[Finding]) -> None:
    low, high = entry.usual_low, entry.usual_high
    if low is None or high is None or low <= value <= high:
        return
    findings.append(unusual(path, "unusual_value", f"{entry.label} {value:g} {entry.unit} is outside "
                            f"the usual {low:g} to {high:g}. Check it against the source."))


def _object(value: Any, path: str, name: str, findings: list[Finding]) -> Case:
    if isinstance(value, dict):
        return value
    findings.append(impossible(path, "wrong_type", f"{name} must be an object. It is not used."))
    return {}


def _number(value: Any, entry: Field) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _Fault("wrong_type", f"{entry.label} must be a number. Enter digits only.")
    result = _as_float(value)
    if not math.isfinite(result):
        raise _Fault("not_finite", f"{entry.label} is not a finite number. Enter the measured value.")
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
    limits = f"{entry.label} must lie between {low:g} and {high:g} {entry.unit}".rstrip()
    advice = hint or "Check the value and its unit."
    raise _Fault("wrong_unit" if hint else "out_of_range", f"{limits}; got {value:g}. {advice}")


def _integer(value: Any, entry: Field) -> int:
    result = _number(value, entry)
    if not result.is_integer():
        raise _Fault("wrong_type", f"{entry.label} must be a whole number.")
    return int(result)


def _choice(value: Any, entry: Field) -> str:
    word = _text(value, entry)
    if word not in entry.choices:
        raise _Fault("unknown_choice", f"{entry.label} must be one of {', '.join(entry.choices)}.")
    return word


def _flag(value: Any, entry: Field) -> bool:
    if not isinstance(value, bool):
        raise _Fault("wrong_type", f"{entry.label} must be yes or no.")
    return value


def _text(value: Any, entry: Field) -> str:
    if not isinstance(value, str):
        raise _Fault("wrong_type", f"{entry.label} must be text.")
    if len(value) > MOST_CHARACTERS:
        raise _Fault("out_of_range", f"{entry.label} is {len(value)} characters long; at most "
                     f"{MOST_CHARACTERS}. Shorten it.")
    return value


def _code(value: Any, entry: Field) -> str:
    if not is_code(value):
        raise _Fault("wrong_code", f"{entry.label} is not a valid code: a character is wrong or two "
                     "are swapped. Read it again from the notes.")
    return str(value)


def _date(value: Any, entry: Field) -> str:
    if not isinstance(value, str) or as_date(value) is None:
        raise _Fault("not_a_date", f"{entry.label} must be a date like 2026-10-06.")
    return value


def _instant(value: Any, entry: Field) -> str:
    if not isinstance(value, str) or as_instant(value) is None:
        raise _Fault("not_a_date", f"{entry.label} must be a UTC time like 2026-10-06T07:15:00Z.")
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

_WALKERS: Final[dict[type, Callable[[Any, Any, str, list[Finding]], Any]]] = {
    Group: _group,
    Rows: _rows,
    Anything: _anything,
    Words: _words,
    Value: _value,
}
