"""Random valid and damaged requests through the door: always one answer or one named error."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from pycore.api import handle
from pycore.errors import GuylineError
from tests.generators import operations, requests
from tests.generators_cases import without_random_identities

COUNT = 250


def _codes(kind: type[GuylineError] = GuylineError) -> set[str]:
    return {kind.code}.union(*(_codes(child) for child in kind.__subclasses__()))


def _ask(operation: str, payload: dict[str, Any]) -> dict[str, Any]:
    text = handle(json.dumps({"id": 1, "operation": operation, "payload": payload}))
    answer = json.loads(without_random_identities(text))
    assert isinstance(answer, dict)
    return answer


def _numbers(value: Any) -> list[float]:
    if isinstance(value, dict):
        return [number for entry in value.values() for number in _numbers(entry)]
    if isinstance(value, list):
        return [number for entry in value for number in _numbers(entry)]
    return [value] if isinstance(value, float) else []


@pytest.mark.parametrize("operation", operations())
def test_every_request_has_an_answer_or_a_named_error(operation: str) -> None:
    answered = refused = 0
    for payload in requests(operation, COUNT, seed=1):
        answer = _ask(operation, payload)
        if "error" in answer:
            refused += 1
            assert answer["error"]["code"] in _codes() - {"error"}, payload
            assert answer["error"]["message"], payload
        else:
            answered += 1
            assert all(math.isfinite(number) for number in _numbers(answer["value"])), payload
    assert answered > COUNT / 4
    assert refused > COUNT / 20


@pytest.mark.parametrize("operation", operations())
def test_undamaged_requests_are_answered(operation: str) -> None:
    for payload in requests(operation, COUNT, seed=2, spoiled=0.0):
        assert "value" in _ask(operation, payload), payload


@pytest.mark.parametrize("operation", operations())
def test_requests_repeat_with_their_seed(operation: str) -> None:
    assert requests(operation, 20, seed=3) == requests(operation, 20, seed=3)
    assert requests(operation, 20, seed=3) != requests(operation, 20, seed=4)


@pytest.mark.parametrize("operation", operations())
def test_asking_twice_gives_the_same_answer(operation: str) -> None:
    for payload in requests(operation, 10, seed=5):
        assert _ask(operation, payload) == _ask(operation, payload)


def test_an_operation_without_generator_is_an_error() -> None:
    with pytest.raises(KeyError):
        requests("no such operation", 1, seed=1)
