"""What an import is asked for, and its answer."""

from __future__ import annotations

import base64
import binascii
from typing import Any, Final

from pycore.api.case_door import day
from pycore.api.schema import Item, Notes, listing, optional, required, text, whole
from pycore.errors import MissingField, OutOfRange, UnknownChoice, WrongType
from pycore.exchange.cell_values import DATE_ORDERS, Marks
from pycore.exchange.csv_bytes import SEPARATORS, Shape
from pycore.exchange.csv_import import MOST_ROWS, Matching, Taken
from pycore.exchange.targets import TARGETS
from pycore.records.case import Case
from pycore.records.codes import is_code
from pycore.records.moments import as_instant
from pycore.words import say

_ENCODINGS: Final = ("utf-8", "utf-16-le", "utf-16-be", "cp1252")
_MOST_PERSONS: Final = MOST_ROWS


def base64_bytes(value: Any, path: str, notes: Notes) -> bytes:
    """Bytes written in base64."""
    if not isinstance(value, str):
        raise WrongType(say("{path} must be bytes in base64.", path=path), field=path)
    try:
        return base64.b64decode(value.encode("ascii", "replace"), validate=True)
    except (binascii.Error, ValueError):
        raise WrongType(say("{path} is not base64.", path=path), field=path) from None


def long_text(value: Any, path: str, notes: Notes) -> str:
    """Text of any length: cells and what is left of a piece."""
    if not isinstance(value, str):
        raise WrongType(say("{path} must be text.", path=path), field=path)
    return value


def word_of(words: Any) -> Any:
    """A reader of one of these words."""
    def read(value: Any, path: str, notes: Notes) -> str:
        if not isinstance(value, str) or value not in words:
            raise UnknownChoice(say(
                "{path} must be one of {listed}.",
                path=path, listed=", ".join(map(repr, words)),
            ), field=path)
        return value

    return read


def instant(value: Any, path: str, notes: Notes) -> str:
    """An instant as the record writes it."""
    if not isinstance(value, str) or as_instant(value) is None:
        raise OutOfRange(say("{path} must be a UTC time like 2026-10-06T07:15:00Z.", path=path), field=path)
    return value


def _target(value: Any, path: str, notes: Notes) -> str | None:
    return None if value is None else word_of(TARGETS)(value, path, notes)


def targets(value: Any, path: str, notes: Notes) -> tuple[str | None, ...]:
    """What each column is taken for; each target once."""
    if not isinstance(value, list):
        raise WrongType(say("{path} must be a list.", path=path), field=path)
    made = tuple(_target(one, f"{path}[{place}]", notes) for place, one in enumerate(value))
    named = [name for name in made if name is not None]
    twice = next((name for name in named if named.count(name) > 1), None)
    if twice is not None:
        raise OutOfRange(say(
            "Two columns are taken for {label}. Choose one of them.",
            label=TARGETS[twice].label,
        ), field=path)
    return made


def fixed_values(value: Any, path: str, notes: Notes) -> dict[str, str]:
    """Values that hold for every line, by target; the eye never is one."""
    if not isinstance(value, dict):
        raise WrongType(say("{path} must be an object.", path=path), field=path)
    for name, cell in value.items():
        if name not in TARGETS or name in ("eye", "person_id"):
            raise UnknownChoice(say(
                "{path}: {name} cannot be the same for every line.",
                path=path, name=f"{str(name)[:40]!r}",
            ), field=path)
        text(cell, f"{path}.{name}", notes)
    return dict(value)


def persons(value: Any, path: str, notes: Notes) -> dict[str, str]:
    """Codes drawn for persons so far, by what stood in the file."""
    if not isinstance(value, dict) or len(value) > _MOST_PERSONS:
        raise WrongType(say("{path} must be an object as the piece before gave it.", path=path), field=path)
    if not all(is_code(code) for code in value.values()):
        raise WrongType(say("{path} holds something that is no code.", path=path), field=path)
    return dict(value)


def prints(value: Any, path: str, notes: Notes) -> dict[str, int]:
    """Lines by fingerprint so far."""
    if not isinstance(value, dict):
        raise WrongType(say("{path} must be an object as the piece before gave it.", path=path), field=path)
    return {str(key): whole(1, 10**9)(line, f"{path}.{str(key)[:40]}", notes) for key, line in value.items()}


NOW_ITEM: Final[Item] = required("now", instant, about="The instant of the import, UTC.")
KNOWN_ITEMS: Final[tuple[Item, ...]] = (
    optional("known", listing(text), default=[], about="Fingerprints of the eyes on the device."),
    optional("persons", persons, default={}, about="As the piece before gave them."),
    optional("prints", prints, default={}, about="As the piece before gave them."),
    optional("first_row", whole(1, 10**7), default=2, about="Number of the first line of this piece."),
    optional("today", day, about="The local date; without it what is past is judged with care."),
)


def shape_value(shape: Shape) -> dict[str, Any]:
    """How a file is written, as JSON."""
    return {"encoding": shape.encoding, "separator": shape.separator, "header": list(shape.header),
            "skip": shape.skip}


def shape(value: Any, path: str, notes: Notes) -> Shape:
    """How the file is written, as ``csv_look`` gave it."""
    if not isinstance(value, dict):
        raise WrongType(say("{path} must be what csv_look gave.", path=path), field=path)
    missing = next((key for key in ("encoding", "separator", "header", "skip") if key not in value), None)
    if missing:
        raise MissingField(say(
            "{path}.{missing} is missing. Look at the file again.",
            path=path, missing=missing,
        ), field=path)
    return Shape(
        word_of(_ENCODINGS)(value["encoding"], f"{path}.encoding", notes),
        word_of(SEPARATORS)(value["separator"], f"{path}.separator", notes),
        tuple(listing(long_text)(value["header"], f"{path}.header", notes)),
        whole(0, 1)(value["skip"], f"{path}.skip", notes),
    )


MARK_ITEMS: Final[tuple[Item, ...]] = (
    required("decimal_mark", word_of((".", ","))),
    optional("date_order", word_of(DATE_ORDERS), about="Where dates are not written year first."),
)


def marks_of(request: dict[str, Any]) -> Marks:
    return Marks(request["decimal_mark"], request["date_order"])


def matching_of(request: dict[str, Any]) -> Matching:
    """The matching that the request agreed on."""
    return Matching(request["columns"], request["fixed"], marks_of(request))


def taken_of(request: dict[str, Any]) -> Taken:
    """What the pieces before left for this one."""
    return Taken(persons=request["persons"], prints=request["prints"])


def taken_value(taken: Taken) -> dict[str, Any]:
    """Records and reasons of this piece, and what the next one needs."""
    cases: list[Case] = taken.cases
    return {
        "cases": cases,
        "rejected": [{"row": one.row, "why": one.why} for one in taken.rejected],
        "persons": taken.persons,
        "prints": taken.prints,
    }
