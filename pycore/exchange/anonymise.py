"""A record without anything that points at the patient or the surgeon's notes.

Follows the Safe Harbor list of the United States' privacy rule, 45 CFR 164.514(b)(2)(i):
the record holds no names, addresses, numbers or pictures to begin with; removed here are

- codes (R: any unique number or code): eye and person get fresh random ones for each export,
  derived from nothing, so two exports cannot be joined on them;
- every date but the year (C): surgery and visits become days after surgery, everything else
  that says when is dropped, and the year with it;
- ages over 89 (C): written as 90;
- free text, as any of it could hold an identifier: the lens's name, reasons, what was read
  aloud, the names of entries.

What is kept is decided by kind and not by a list of exceptions: only numbers, words of the
glossary and yes/no survive, so a key that a later schema adds is dropped unless it is one
of these. The result is *de-identified*: whoever knows a rare eye may still recognise it.

Checked by ``tests/exchange/test_anonymise.py``.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Container
from typing import Any, Final

from pycore.fields import FIELDS
from pycore.records.case import CASE, Case, Group, Node, Rows, Value, Words
from pycore.records.codes import ALPHABET
from pycore.records.moments import days_between

#: Ages above 89 are one group (45 CFR 164.514(b)(2)(i)(C)).
OLDEST_STATED: Final = 89
NINETY_OR_OLDER: Final = 90
#: Characters of a random identity: 23 to the tenth, so two exports do not share one by chance.
_IDENTITY_CHARACTERS: Final = 10
#: Kinds of values that may leave a record.
KEPT_KINDS: Final = frozenset({"number", "integer", "choice", "flag"})
_VERSION: Final = re.compile(r"[0-9]{1,4}(\.[0-9]{1,4}){1,3}", re.ASCII)
_DROPPED: Final = object()


def fresh_identity(prefix: str, taken: Container[str] = ()) -> str:
    """A random identity such as ``E-...``, for this export only; not a case code."""
    while True:
        drawn = "".join(secrets.choice(ALPHABET) for _ in range(_IDENTITY_CHARACTERS))
        if f"{prefix}-{drawn}" not in taken:
            return f"{prefix}-{drawn}"


def anonymised(sound: Case) -> Case:
    """The sound record with numbers, words and yes/no only; see the module's page.

    Visits carry ``days_after`` (surgery); withdrawn rows carry ``withdrawn`` true.
    """
    kept = _group(CASE, sound)
    age = kept["history"]["age_years"]
    kept["history"]["age_years"] = NINETY_OR_OLDER if age is not None and age > OLDEST_STATED else age
    for row, visit in zip(kept["follow_ups"], sound["follow_ups"], strict=True):
        counted = _days(sound["surgery_on"], visit["on"])
        row["days_after"] = visit["days_after"] if counted is None else counted
    for row, decision in zip(kept["decisions"], sound["decisions"], strict=True):
        row["core_version"] = _version(decision["core_version"])
    return kept


def _group(group: Group, values: Case) -> Case:
    kept = ((key, _kept(node, values[key])) for key, node in group.members.items())
    return {key: value for key, value in kept if value is not _DROPPED}


def _kept(node: Node, value: Any) -> Any:
    if isinstance(node, Value):
        return value if FIELDS[node.field].kind in KEPT_KINDS else _DROPPED
    if isinstance(node, Words):
        return value
    if isinstance(node, Rows):
        return [_group(node.row, row) for row in value]
    if isinstance(node, Group):
        return _optional(node, value) if node.optional else _group(node, value)
    return _DROPPED


def _optional(node: Group, value: Case | None) -> Any:
    """What may stay of a group that may be absent; true or false where that is nothing."""
    holds = any(isinstance(part, Value) and FIELDS[part.field].kind in KEPT_KINDS
                for part in node.members.values())
    if not holds:
        return value is not None
    return None if value is None else _group(node, value)


def _days(first: str | None, second: str | None) -> int | None:
    return None if first is None or second is None else days_between(first, second)


def _version(text: str | None) -> str | None:
    """The version of the core, if it is nothing but one."""
    return text if text is not None and _VERSION.fullmatch(text) else None
