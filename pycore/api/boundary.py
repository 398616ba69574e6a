"""The door: JSON text in, JSON text out, never an exception.

Request ``{"id", "operation", "payload"}``. Answer ``{"id", "operation", "value",
"warnings", "provenance"}`` or ``{"id", "error": {"code", "field", "message"}}``.
Non-finite numbers are refused in both directions.
"""

from __future__ import annotations

import gc
import json
import math
from functools import lru_cache
from importlib import import_module
from typing import Any, Final, NoReturn

from pycore import __version__
from pycore.api.operation import Answer
from pycore.api.schema import Notes
from pycore.api.spoken import spoken
from pycore.api.table import find
from pycore.errors import (
    GuylineError,
    NotFinite,
    RequestError,
    RequestTooLarge,
    WrongType,
)
from pycore.words import say

#: Longest request read, in characters: ten thousand eyes fit several times over.
MOST_CHARACTERS: Final = 64_000_000
#: From here on a request is a whole series.
MANY_CHARACTERS: Final = 500_000
#: An ordinary calculation is a few kilobytes; only these read whole series.
LARGE_OPERATIONS: Final = frozenset({
    "audit", "dicom_read", "export_csv", "export_files", "export_part", "fingerprints",
    "import_archive", "import_parts", "learn", "result_intervals", "result_rows", "results",
})
MOST_ORDINARY_CHARACTERS: Final = 4_000_000


def handle(text: str) -> str:
    """Answer one request; see the module's page for both shapes.

    While a whole series is read the collector of cyclic garbage rests: it would walk thousands of
    rows again and again and find nothing, for a third of the time.
    """
    if len(text) < MANY_CHARACTERS or not gc.isenabled():
        return _handled(text)
    gc.disable()
    try:
        return _handled(text)
    finally:
        gc.enable()


def _handled(text: str) -> str:
    identity: object = None
    try:
        request = parse(text)
        identity = request.get("id")
        operation, payload = request.get("operation"), request.get("payload", {})
        _refuse_large(text, operation)
        return _write({"id": identity, "operation": operation, **answer(operation, payload)})
    except GuylineError as error:
        return _write({"id": _plain(identity), "error": as_error(error)})
    except RecursionError:
        deep = RequestError("The request is nested too deeply. Send it as documented.")
        return _write({"id": _plain(identity), "error": as_error(deep)})


def answer(operation: object, payload: object) -> dict[str, Any]:
    """Value, warnings and provenance of one operation; raises named errors."""
    found = find(operation)
    notes = Notes()
    result = found.run(found.reader()(payload, "", notes), notes)
    return {"value": result.value, "warnings": notes.warnings, "provenance": _provenance(result)}


def parse(text: str) -> dict[str, Any]:
    """A JSON object from ``text``; raises :class:`RequestError` otherwise."""
    if len(text) > MOST_CHARACTERS:
        raise RequestTooLarge(say(
            "The request has {text} characters; at most {most_characters}.",
            text=len(text), most_characters=MOST_CHARACTERS,
        ))
    try:
        request = json.loads(text, parse_constant=_refuse_constant, parse_float=_finite)
    except (ValueError, TypeError) as error:
        raise RequestError(say("The request is not JSON text: {error}.", error=error)) from error
    if not isinstance(request, dict):
        raise RequestError("The request must be a JSON object with operation and payload.")
    return request


def as_error(error: GuylineError) -> dict[str, str | None]:
    """The plain form of a named error."""
    return {"code": error.code, "field": error.field, "message": error.message}


@lru_cache(maxsize=1)
def build_id() -> str:
    """The build's identity, or ``source`` when run from a checkout."""
    try:
        return str(import_module("pycore._build").BUILD_ID)
    except ModuleNotFoundError:
        return "source"


def _provenance(result: Answer) -> dict[str, Any]:
    return {"core_version": __version__, "build_id": build_id(), **result.provenance}


def _finite(text: str) -> float:
    """A number with a decimal point or exponent; one too large for a float is refused."""
    value = float(text)
    if not math.isfinite(value):
        raise NotFinite(say(
            "{text} is too large to be a number. Leave the field out instead.",
            text=text[:40],
        ))
    return value


def _refuse_constant(word: str) -> NoReturn:
    raise NotFinite(say("{word} is not a number. Leave the field out instead.", word=word))


def _refuse_large(text: str, operation: object) -> None:
    if len(text) > MOST_ORDINARY_CHARACTERS and operation not in LARGE_OPERATIONS:
        raise RequestTooLarge(
            say(
                "The request has {text} characters; this operation reads at most "
                "{most_ordinary_characters}.",
                text=len(text), most_ordinary_characters=MOST_ORDINARY_CHARACTERS,
            )
        )


def _plain(identity: object) -> object:
    """The request's id when an error can carry it back; a float beyond range becomes null."""
    if isinstance(identity, float) and not math.isfinite(identity):
        return None
    return identity if isinstance(identity, str | int | float | None) else None


def _write(document: dict[str, Any]) -> str:
    """JSON text that can be written as UTF-8: half a surrogate pair becomes a question mark."""
    try:
        text = json.dumps(spoken(document), allow_nan=False, ensure_ascii=False, separators=(",", ":"))
        return text.encode("utf-8", "replace").decode("utf-8")
    except ValueError as error:
        raise WrongType(say(
            "The answer holds a value that JSON cannot carry: {error}.",
            error=error,
        )) from error
