"""Oil or gas after surgery: whether it stays is asked, and the plan answers with it."""

from __future__ import annotations

import json
from typing import Any

from pycore.api import handle
from tests.records.sample import sample


def plan(**fill: Any) -> dict[str, Any]:
    case = sample()
    case["fill_after"] |= fill
    answer = json.loads(handle(json.dumps({"id": 1, "operation": "plan_case", "payload": {"case": case}})))
    assert "value" in answer, answer
    found: dict[str, Any] = answer["value"]
    return found


def test_saline_needs_no_word() -> None:
    assert plan(medium="saline")["media"] is None
    assert plan()["media"] is None


def test_oil_is_asked_about_until_it_is_known_whether_it_stays() -> None:
    found = plan(medium="oil", lens_index=1.47)
    assert found["media"]["plan_for"] == "ask"
    assert "Will the oil stay?" in found["media"]["message"]
    assert "plan_is_for_saline" in {one["code"] for one in found["cautions"]}


def test_oil_that_stays_names_the_lens_for_oil_by_shape() -> None:
    """Oil makes a both-sided lens several dioptres hyperopic, a flat back face less
    (Stefansson E et al., Retina 1988;8:20-23): more power is needed."""
    found = plan(medium="oil", oil_stays=True, lens_index=1.47)["media"]
    shapes = {one["shape"]: one for one in found["shapes"]}
    assert found["plan_for"] == "medium"
    assert shapes["equiconvex"]["shift_d"] > shapes["flat_back"]["shift_d"] > 1.0
    assert shapes["equiconvex"]["power_for_target_d"] > shapes["flat_back"]["power_for_target_d"]
    (one,) = plan(medium="oil", oil_stays=True, lens_index=1.47, lens_shape="flat_back")["media"]["shapes"]
    assert one == shapes["flat_back"]


def test_oil_that_leaves_keeps_the_plan_and_gas_gives_no_power() -> None:
    leaves = plan(medium="oil", oil_stays=False, lens_index=1.47)
    assert leaves["media"]["plan_for"] == "saline"
    assert "plan_is_for_saline" not in {one["code"] for one in leaves["cautions"]}
    gas = plan(medium="gas", lens_index=1.47)["media"]
    assert "gas" in gas["message"]
    assert all(one["power_for_target_d"] is None for one in gas["shapes"])


def test_the_index_of_the_optic_is_asked_for() -> None:
    found = plan(medium="oil", oil_stays=True)["media"]
    assert not found["ready"]
    assert "index" in found["message"]
