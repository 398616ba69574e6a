"""Readings named by their place in the record when only some of them are used.

The model counts the readings it is given; a screen also lists the withdrawn and the refused
ones. "Reading 2 is doubtful" must mean the second one listed. Test:
``tests/unit/test_case_answers.py``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Final

from pycore.errors import GuylineError
from pycore.words import say

_PATH: Final = re.compile(r"readings\[(\d+)\]")


def listed(warning: Mapping[str, str | None], places: Sequence[int]) -> dict[str, str | None]:
    """A warning about used readings, numbered as listed; ``places`` holds each one's index."""
    field, message = warning["field"], warning["message"]
    found = _PATH.match(field or "")
    if found and message is not None:
        message = _numbered(message, int(found[1]), places)
    return {**warning, "field": _renamed(field, places), "message": _renamed(message, places)}


def _numbered(message: str, index: int, places: Sequence[int]) -> str:
    """``Reading 2 does ...`` with its number as listed; ``Reading 2 D is unusual`` is a value."""
    return re.sub(say(
        "^Reading {value} (?=[a-z])",
        value=index + 1,
    ), say(
        "Reading {value} ",
        value=places[index] + 1,
    ), message)


@contextmanager
def listed_places(places: Sequence[int]) -> Iterator[None]:
    """Errors raised inside name readings by their place in the record."""
    try:
        yield
    except GuylineError as error:
        error.field = _renamed(error.field, places)
        error.message = _renamed(error.message, places) or error.message
        raise


def _renamed(text: str | None, places: Sequence[int]) -> str | None:
    return None if text is None else _PATH.sub(lambda found: f"readings[{places[int(found[1])]}]", text)
