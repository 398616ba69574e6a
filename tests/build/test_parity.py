"""The browser's Python answers like this machine's: same keys and words, same numbers.

This is consistency of two interpreters on one program, not truth of the numbers.
"""

from __future__ import annotations

import json
import math
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pycore.api import handle
from pycore.api.table import MODULES
from tests import generators
from tests.generators_cases import without_random_identities
from webapp.build import npm

COUNT, SEED = 200, 1
RELATIVE, ABSOLUTE = 1e-9, 1e-12
SCRIPT = Path(__file__).with_name("handle.mjs")
OPERATIONS = generators.operations()


@cache
def requests(operation: str) -> tuple[str, ...]:
    """Whole requests as text, the same on every run; one in ten is damaged on purpose."""
    payloads = generators.requests(operation, COUNT, SEED, spoiled=0.1)
    return tuple(json.dumps({"id": f"{operation} {number}", "operation": operation, "payload": payload})
                 for number, payload in enumerate(payloads))


@pytest.fixture(scope="module")
def browser_answers(dist: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Any]]:
    """All answers, from one start of the browser's Python under Node."""
    folder = tmp_path_factory.mktemp("parity")
    asked = [(name, text) for name in OPERATIONS for text in requests(name)]
    (folder / "requests").write_text("".join(f"{text}\n" for _, text in asked), "utf-8")
    subprocess.run([npm.node(), SCRIPT, dist, folder / "requests", folder / "answers"],
                   check=True, timeout=2400)
    lines = (folder / "answers").read_text("utf-8").splitlines()
    answers: dict[str, list[Any]] = {name: [] for name in OPERATIONS}
    for (name, _), line in zip(asked, lines, strict=True):
        answers[name].append(json.loads(without_random_identities(line)))
    return answers


def differences(here: Any, there: Any, path: str = "") -> Iterator[str]:
    """Where two answers differ by more than rounding."""
    if isinstance(here, dict) and isinstance(there, dict):
        if list(here) != list(there):
            yield f"{path}: keys {list(here)} and {list(there)}"
            return
        for key in here:
            yield from differences(here[key], there[key], f"{path}.{key}")
    elif isinstance(here, list) and isinstance(there, list):
        if len(here) != len(there):
            yield f"{path}: {len(here)} and {len(there)} entries"
            return
        for index, pair in enumerate(zip(here, there, strict=True)):
            yield from differences(*pair, f"{path}[{index}]")
    elif not _same(here, there):
        yield f"{path}: {here!r} and {there!r}"


def _same(here: Any, there: Any) -> bool:
    if type(here) is float and type(there) is float:
        return math.isclose(here, there, rel_tol=RELATIVE, abs_tol=ABSOLUTE)
    return type(here) is type(there) and bool(here == there)


def _without_build(answer: dict[str, Any]) -> dict[str, Any]:
    if "provenance" in answer:
        answer["provenance"].pop("build_id")
    return answer


def test_every_operation_has_requests() -> None:
    assert set(OPERATIONS) >= set(MODULES) - {"describe"}


@pytest.mark.slow
@pytest.mark.timeout(2700)
@pytest.mark.parametrize("operation", OPERATIONS)
def test_same_answers(operation: str, browser_answers: dict[str, list[Any]]) -> None:
    texts = [handle(one) for one in requests(operation)]
    here = [json.loads(without_random_identities(text)) for text in texts]
    there = browser_answers[operation]
    found = [text for one, other in zip(here, there, strict=True)
             for text in differences(_without_build(one), _without_build(other), str(one["id"]))]
    assert found == []
    valued = sum("value" in one for one in here)
    assert valued > COUNT / 2, f"only {valued} of {COUNT} requests were answered with a value"


@pytest.mark.parametrize("other", [{"b": 1.0}, {"a": 1.0 + 1e-6}, {"a": 1}, {"a": "1"}, {"a": [1.0]}])
def test_a_difference_is_seen(other: Any) -> None:
    assert list(differences({"a": 1.0}, other))


def test_rounding_is_no_difference() -> None:
    assert list(differences({"a": [0.1 + 0.2]}, {"a": [0.3]})) == []
