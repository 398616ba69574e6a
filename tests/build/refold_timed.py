"""What is timed in each Python: a thousand stored eyes learned from, refolded, and one eye more.

Run as a program with the file of stored eyes, or by ``refold_timed.mjs`` inside the built app's
Python; only :mod:`pycore` and the standard library are there.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from typing import Any

from pycore.api import handle
from pycore.api.case_history import learn_from_cases
from pycore.belief.surgeon import learn

ROUNDS = 5


def report(path: str) -> str:
    """Milliseconds of each step, as JSON; the last stored eye is the new one."""
    with open(path, encoding="utf-8") as file:
        *known, new = json.load(file)
    found = learn_from_cases(known, formula="holladay1")
    lessons = found.history.lessons
    added = learn_from_cases([new], formula="holladay1").history.lessons
    request = json.dumps({"id": 1, "operation": "learn", "payload": {"cases": known}})
    assert json.loads(handle(request))["value"]["eyes"] == len(lessons) == len(known)
    return json.dumps({
        "eyes": len(lessons),
        "ask_learn": _milliseconds(lambda: handle(request), rounds=3),
        "refold": _milliseconds(lambda: learn(lessons)),
        "lesson_of_one_eye": _milliseconds(lambda: learn_from_cases([new], formula="holladay1")),
        "refold_with_one_more": _milliseconds(lambda: learn((*lessons, *added))),
    })


def _milliseconds(action: Callable[[], Any], *, rounds: int = ROUNDS) -> float:
    """The least of several runs: others on the machine only ever make it slower."""
    taken = []
    for _ in range(rounds):
        started = time.perf_counter()
        action()
        taken.append(1000.0 * (time.perf_counter() - started))
    return min(taken)


if __name__ == "__main__":
    print(report(sys.argv[1]))
