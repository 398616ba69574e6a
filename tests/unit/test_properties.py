"""More than twenty thousand generated requests through the door.

Every one must be answered with a value or a named error, as JSON text that holds finite
numbers only, and never with an exception. Requests are made by tests/generators, by
changing stored cases a little, and by hypothesis out of arbitrary JSON; all seeds are fixed.
"""

from __future__ import annotations

import copy
import json
import math
import random
from functools import cache
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pycore.api import handle
from pycore.api.table import MODULES
from pycore.errors import GuylineError
from pycore.fields import FIELDS
from tests.generators import Payload, operations, requests, spoil

#: Requests for each operation; slow operations get fewer and mostly damaged ones.
BUDGET: Final = {
    "acuity": 400,
    "note_case": 300,
    "advise": 1500,
    "audit": 700,
    "check_case": 800,
    "demo_cases": 20,
    "describe": 100,
    "entries": 2500,
    "csv_look": 150,
    "csv_rows": 100,
    "dicom_read": 150,
    "export_csv": 100,
    "export_files": 40,
    "export_part": 80,
    "fingerprints": 60,
    "import_archive": 20,
    "import_parts": 60,
    "follow_up_case": 800,
    "learn": 150,
    "measurements": 1500,
    "media": 300,
    "plan_case": 500,
    "power": 4000,
    "refraction": 4500,
    "second_route": 1500,
    "theatre_case": 700,
    "tilt": 60,
    "vergence_power": 4000,
}
ARBITRARY: Final = 1500
CASE_OPERATIONS: Final = ("check_case", "follow_up_case", "note_case", "plan_case", "theatre_case")
SERIES_OPERATIONS: Final = ("export_csv", "export_part", "fingerprints", "learn")


def test_there_are_twenty_thousand_over_all_operations() -> None:
    assert sum(BUDGET.values()) + ARBITRARY >= 20_000
    assert set(BUDGET) <= set(MODULES)


@cache
def codes(kind: type[GuylineError] = GuylineError) -> frozenset[str]:
    """Every code an error may carry; the base's own is never used."""
    return frozenset({child.code for child in kind.__subclasses__()}).union(
        *(codes(child) for child in kind.__subclasses__())
    )


def ask(operation: object, payload: object) -> dict[str, Any]:
    return checked(handle(json.dumps({"id": 7, "operation": operation, "payload": payload})))


def checked(text: str) -> dict[str, Any]:
    """The answer in ``text``, which must be sound JSON of one of the two shapes."""
    text.encode("utf-8")
    answer = json.loads(text, parse_constant=_refuse)
    assert isinstance(answer, dict)
    assert ("value" in answer) != ("error" in answer)
    if "error" in answer:
        _check_error(answer["error"])
    else:
        _check_value(answer)
    return answer


def _refuse(word: str) -> None:
    raise AssertionError(f"{word} in an answer")


def _check_error(error: dict[str, Any]) -> None:
    assert set(error) == {"code", "field", "message"}
    assert error["code"] in codes()
    assert error["message"].strip()
    assert error["field"] is None or isinstance(error["field"], str)


def _check_value(answer: dict[str, Any]) -> None:
    assert set(answer) == {"id", "operation", "value", "warnings", "provenance"}
    assert all(math.isfinite(number) for number in numbers(answer["value"]))
    for warning in answer["warnings"]:
        assert set(warning) == {"code", "field", "message"}
        assert warning["code"]
        assert warning["message"].strip()


def numbers(value: Any) -> list[float]:
    if isinstance(value, dict):
        return [number for entry in value.values() for number in numbers(entry)]
    if isinstance(value, list):
        return [number for entry in value for number in numbers(entry)]
    return [value] if isinstance(value, float) else []


def damaged(payload: Payload, source: random.Random) -> Payload:
    """One to three damages, one on top of the other."""
    for _ in range(source.randint(1, 3)):
        payload = spoil(payload, source)
    return payload


OWN_TEST: Final = frozenset({*CASE_OPERATIONS, *SERIES_OPERATIONS, "demo_cases", "describe"})


@pytest.mark.parametrize("operation", sorted(set(operations()) - OWN_TEST))
def test_generated_requests(operation: str) -> None:
    """Half as the generator makes them, half damaged up to three times."""
    source = random.Random(f"properties {operation}")
    for index, payload in enumerate(requests(operation, BUDGET.get(operation, 200), seed=31)):
        ask(operation, damaged(payload, source) if index % 2 else payload)


def test_every_operation_has_a_generator() -> None:
    """A new operation is thrown at, too: write its generator."""
    assert set(MODULES) - set(operations()) - OWN_TEST == set()


@cache
def demo_cases() -> str:
    return json.dumps(ask("demo_cases", {})["value"]["cases"])


def changed(document: Any, source: random.Random) -> Any:
    """A case with a few values moved to others that look possible.

    Half the time only what was done in theatre, so that the plan as read back still stands.
    """
    document = copy.deepcopy(document)
    theatre = {name: document[name] for name in ("readings", "haptic_log")}
    part = theatre if source.random() < 0.5 and any(theatre.values()) else document
    for _ in range(source.randint(1, 4)):
        holder, key = source.choice(_leaves(part))
        holder[key] = _another(key, holder[key], source)
    if source.random() < 0.5:
        _shuffle_one_list(document, source)
    return document


def _leaves(value: Any) -> list[tuple[Any, Any]]:
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [leaf for key, inner in items
            for leaf in (_leaves(inner) if isinstance(inner, dict | list) and inner else [(value, key)])]


def _another(key: Any, value: Any, source: random.Random) -> Any:
    field = FIELDS.get(key) if isinstance(key, str) else None
    if field is not None and field.choices:
        return source.choice([*field.choices, None])
    if field is not None and field.lowest is not None and field.highest is not None:
        return source.choice([None, field.lowest, field.highest, field.usual_low, field.usual_high,
                              round(source.uniform(field.lowest, field.highest), 2)])
    return source.choice([None, value, "", 0, -1.0, 2.5, True, "2026-01-01", "2026-01-01T00:00:00Z"])


def _shuffle_one_list(document: Any, source: random.Random) -> None:
    lists = [value for value in document.values() if isinstance(value, list) and value]
    if lists:
        chosen = source.choice(lists)
        action = source.choice([chosen.pop, chosen.reverse, lambda: chosen.append(copy.deepcopy(chosen[0]))])
        action()


@pytest.mark.parametrize("operation", CASE_OPERATIONS)
def test_changed_and_damaged_cases(operation: str) -> None:
    source = random.Random(f"properties {operation}")
    cases = json.loads(demo_cases())
    for index in range(BUDGET[operation]):
        case = changed(cases[index % len(cases)], source)
        ask(operation, {"case": damaged(case, source) if index % 4 == 0 else case})


@pytest.mark.parametrize("operation", SERIES_OPERATIONS)
def test_changed_and_damaged_series_of_cases(operation: str) -> None:
    source = random.Random(f"properties {operation}")
    cases = json.loads(demo_cases())
    for index in range(BUDGET[operation]):
        payload: Payload = {"cases": [changed(source.choice(cases), source) for _ in range(index % 4)]}
        for case in payload["cases"]:
            case["demo"] = source.random() < 0.3
        if operation == "export_csv":
            payload["exclude_demo"] = source.random() < 0.3
        ask(operation, damaged(payload, source) if index % 5 == 0 else payload)


@pytest.mark.parametrize("operation", ["describe", "demo_cases"])
def test_operations_without_input(operation: str) -> None:
    source = random.Random(f"properties {operation}")
    for index in range(BUDGET[operation]):
        ask(operation, {} if index % 2 else spoil({}, source))


#: Values a program could send by mistake, extremes included.
_SCALARS: Final = st.one_of(
    st.none(), st.booleans(), st.integers(), st.text(max_size=20),
    st.floats(allow_nan=True, allow_infinity=True),
    st.sampled_from([10**400, -(10**400), 5e-324, -0.0, 1e308, "NaN", "1,5", "\ud800"]),
)
_JSON: Final = st.recursive(
    _SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=12,
)
_KEYS: Final = st.sampled_from([*sorted(FIELDS), "readings", "haptic", "belief", "constants", "rows", "case",
                                "cases", "schema", "plan", "measurements"])
_PAYLOADS: Final = st.dictionaries(_KEYS, _JSON, max_size=8) | _JSON


@settings(max_examples=ARBITRARY // 3)
@given(operation=st.sampled_from(sorted(MODULES)) | _SCALARS, payload=_PAYLOADS, identity=_JSON)
def test_arbitrary_json(operation: object, payload: object, identity: object) -> None:
    checked(handle(json.dumps({"id": identity, "operation": operation, "payload": payload})))


@settings(max_examples=ARBITRARY // 3)
@given(text=st.text(max_size=200) | st.builds(json.dumps, _JSON))
def test_arbitrary_text(text: str) -> None:
    assert "error" in checked(handle(text))


@settings(max_examples=ARBITRARY // 3)
@given(seed=st.integers(0, 10**6), key=_KEYS, value=_JSON)
def test_one_arbitrary_value_in_an_advise_request(seed: int, key: str, value: object) -> None:
    (payload,) = requests("advise", 1, seed=seed, spoiled=0.0)
    payload["readings"] = payload["readings"][:2]
    ask("advise", {**payload, key: value})


@cache
def advised() -> tuple[tuple[Payload, dict[str, Any]], ...]:
    """Undamaged requests to ``advise`` with their answers."""
    asked = [(payload, ask("advise", payload)) for payload in requests("advise", 400, seed=32, spoiled=0.0)]
    return tuple((payload, answer["value"]) for payload, answer in asked)


def test_no_advice_puts_haptic_back() -> None:
    for payload, value in advised():
        options = (value, value["nothing_cut"], *value["neighbours"])
        assert min(cut for option in options for cut in option["cut_mm"]) >= 0.0, payload


def test_more_haptic_outside_is_never_more_hyperopic_with_a_plus_lens() -> None:
    compared = 0
    for payload, value in advised():
        near, far = value["reach"]
        assert near["outside_mm"] <= far["outside_mm"], payload
        line = sorted((option["outside_mm"], option["mean_d"]) for option in value["neighbours"])
        means = [mean for _, mean in line]
        if payload["lens_power_d"] >= 5 and value["reason"] in ("cut", "no_useful_adjustment"):
            assert far["mean_d"] <= near["mean_d"], payload
            assert means == sorted(means, reverse=True), payload
            compared += 1
    assert compared > 100


def test_what_is_advised_lies_within_the_reach_and_is_what_the_cut_leaves() -> None:
    for payload, value in advised():
        near, far = value["reach"]
        assert near["outside_mm"] - 1e-9 <= value["outside_mm"] <= far["outside_mm"] + 1e-9, payload
        if value["reason"] == "cut":
            haptic = payload["haptic"]
            left = [cut + haptic["melt_mm"] - haptic.get("bury_mm", 0.3) + removed
                    for cut, removed in zip(value["cut_mm"], haptic["removed_mm"], strict=True)]
            assert sum(left) / 2 == pytest.approx(value["outside_mm"], abs=1e-5), payload


def test_chances_and_intervals_are_in_order() -> None:
    for payload, value in advised():
        final = value["final"]
        assert 0 <= final["within_025"] <= final["within_050"] <= final["within_100"] <= 1, payload
        assert final["low80_d"] < final["mean_d"] < final["high80_d"], payload
        assert final["sd_d"] > 0, payload
        assert all(0 <= chance <= 1 for chance in value["gross"]), payload
        assert len(value["gross"]) == len(payload["readings"])


def test_the_optic_never_moves_the_wrong_way() -> None:
    for payload, value in advised():
        assert value["travel_ratio"]["mean"] >= 0.0, payload
        assert value["travel_ratio"]["sd"] >= 0.0, payload


def test_nothing_advised_is_expected_to_be_worse_than_nothing_cut() -> None:
    for payload, value in advised():
        if value["reason"] == "cut":
            assert value["expected_error_d"] <= value["expected_error_nothing_d"] - 0.10 + 1e-12, payload
            gained = value["final"]["within_050"] - value["nothing_cut"]["within_050"]
            assert gained >= 0.05 - 1e-12, payload
        elif value["no_useful_adjustment"] and value["reason"] != "one_flanged":
            assert value["cut_mm"] == [0.0, 0.0] or payload["haptic"].get("centred_outside_mm"), payload
