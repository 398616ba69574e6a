"""The same operations on the command line.

``python3 -m pycore OPERATION < request.json > answer.json``: the request is the
operation's payload, the answer is its value with ``warnings`` and ``provenance`` beside
it. Exit code 0 with a value, 1 with a named error. ``python3 -m pycore describe`` needs no
request and prints every operation with its fields.
"""

from __future__ import annotations

import json
import sys
from io import TextIOWrapper
from typing import Any

from pycore.api.boundary import answer, as_error, parse
from pycore.errors import GuylineError, RequestError


def main(arguments: list[str]) -> int:
    try:
        document, code = _answer(arguments), 0
    except GuylineError as error:
        document, code = {"error": as_error(error)}, 1
    json.dump(document, sys.stdout, allow_nan=False, ensure_ascii=False, indent=1)
    sys.stdout.write("\n")
    return code


def _answer(arguments: list[str]) -> dict[str, Any]:
    if len(arguments) != 1:
        raise RequestError("Usage: python3 -m pycore OPERATION < request.json > answer.json")
    operation = arguments[0]
    payload = {} if operation == "describe" else parse(_request_text())
    result = answer(operation, payload)
    return {**result["value"], "warnings": result["warnings"], "provenance": result["provenance"]}


def _request_text() -> str:
    try:
        return sys.stdin.read()
    except UnicodeDecodeError as error:
        raise RequestError(f"The request is not UTF-8 text: {error.reason}.") from error


if __name__ == "__main__":
    # Half of a surrogate pair inside a stored text has no UTF-8; as \udXXX it is still JSON.
    for stream, errors in ((sys.stdin, "strict"), (sys.stdout, "backslashreplace")):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors=errors)
    sys.exit(main(sys.argv[1:]))
