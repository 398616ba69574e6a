"""What the core reads: any request, records, foreign tables, archives, measurement files, cells.

A target is a name, its share of the inputs, and a function that makes one input from the seeded source and
gives it to the core. It raises anything but :class:`Rejected` when the core failed, and returns normally
when the input was taken.
"""

from __future__ import annotations

import base64
import copy
import json
import random
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from pycore.api import handle
from pycore.api.boundary import answer
from pycore.api.table import MODULES
from pycore.errors import GuylineError
from pycore.exchange.cell_values import CellFault, Marks, number_of
from tests import generators
from tests.fuzz import damage
from tests.generators_cases import TODAY

#: Distinct undamaged inputs of each kind; each is damaged many times.
POOL: Final = 12
#: Answers take tens of milliseconds or more: damaged more rarely, so that many inputs fit into minutes.
SLOW: Final = frozenset({"advise", "learn", "pack", "result_intervals", "results", "tilt", "theatre_case",
                         "plan_case", "box", "sheet_case", "second_route", "follow_up_case", "note_case"})
CASE_READERS: Final = ("check_case", "fingerprints", "export_part", "result_rows")
FILE_READERS: Final = tuple(name for name in ("csv_look", "csv_rows", "import_archive", "import_parts", "dicom_read")
                            if name in MODULES)


class Rejected(Exception):
    """The input was refused by name."""


class Broken(Exception):
    """The core broke its word."""


@dataclass(frozen=True)
class Target:
    name: str
    share: float
    run: Callable[[random.Random], None]


@cache
def pool(operation: str) -> tuple[dict[str, Any], ...]:
    """Valid payloads, the same on every run."""
    return tuple(generators.requests(operation, POOL, 7, spoiled=0.0))


def ask(text: str) -> None:
    """One request through the door; its answer must be strict JSON with a value or a named error."""
    found = json.loads(handle(text), parse_constant=_no_constant)
    error = found.get("error")
    if error is None and "value" not in found:
        raise Broken(f"neither value nor error: {str(found)[:200]}")
    if error is not None and not (error["code"] and error["message"]):
        raise Broken(f"an error without a name: {error}")
    if error is not None:
        raise Rejected(error["code"])


def _no_constant(word: str) -> None:
    raise Broken(f"the answer holds {word}")


def requests(source: random.Random) -> None:
    """Any operation: damaged as a document, or its text."""
    names = [name for name in generators.operations() if name not in SLOW or source.random() < 0.08]
    name = source.choice(names)
    request = {"id": 1, "operation": name, "payload": source.choice(pool(name))}
    if source.random() < 0.7:
        request["payload"] = damage.document(request["payload"], source)
        return ask(json.dumps(request))
    return ask(damage.text(json.dumps(request), source))


def records(source: random.Random) -> None:
    """A stored eye, damaged, through the operations that read records; what was given stays as it was."""
    case = damage.document(source.choice(pool("check_case"))["case"], source)
    name = source.choice(CASE_READERS)
    payload = {"check_case": {"case": case, "today": TODAY}, "fingerprints": {"cases": [case]},
               "export_part": {"cases": [case], "today": TODAY}, "result_rows": {"cases": [case], "today": TODAY}}[name]
    before = copy.deepcopy(payload)
    try:
        answer(name, payload)
    except GuylineError as error:
        raise Rejected(error.code) from error
    finally:
        if payload != before and json.dumps(payload) != json.dumps(before):
            raise Broken(f"{name} changed the record it was given")


def _file_target(name: str) -> Callable[[random.Random], None]:
    """Damages the bytes of the file inside a request; import_parts has text in place of bytes."""
    def run(source: random.Random) -> None:
        payload = dict(source.choice(pool(name)))
        key = next((one for one in payload if one.endswith("_base64")), None)
        if key is None or source.random() < 0.1:
            payload = damage.document(payload, source)
        else:
            damaged = damage.data(base64.b64decode(payload[key]), source)
            payload[key] = base64.b64encode(damaged).decode()
        before = copy.deepcopy(payload)
        try:
            found = answer(name, payload)
        except GuylineError as error:
            raise Rejected(error.code) from error
        if payload != before:
            raise Broken(f"{name} changed what it was given")
        _judge_import(found["value"])

    return run


def _judge_import(value: dict[str, Any]) -> None:
    """Every eye that an import offers is a record without an impossible value."""
    for case in value.get("cases", []):
        checked = answer("check_case", {"case": case, "today": TODAY})["value"]
        wrong = [one for one in checked["findings"] if one["severity"] == "impossible"]
        if wrong:
            raise Broken(f"an import offers an impossible record: {wrong[0]}")


def cells(source: random.Random) -> None:
    """The number parser of tables: a number that stands there digit for digit, or a reason."""
    written = source.choice(("23.51", "\u22121,25", "+0.50", "1e3", "118.7", "-0", "7"))
    cell = damage.text(written, source) if source.random() < 0.9 else written
    mark = source.choice((".", ","))
    try:
        value = number_of(cell, Marks(mark, None))
    except CellFault as fault:
        raise Rejected(str(fault)) from fault
    digits = "".join(one for one in cell if one.isdigit() or one in "+-.,eE\u2212").replace("\u2212", "-").replace(",", ".")
    if value != float(digits):
        raise Broken(f"{cell!r} was read as {value!r}")


TARGETS: Final = (
    Target("handle", 0.30, requests),
    Target("records", 0.16, records),
    *(Target(name, 0.26 / len(FILE_READERS), _file_target(name)) for name in FILE_READERS),
    Target("numbers in tables", 0.08, cells),
)
