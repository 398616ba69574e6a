"""The box as an operation, in the plan, in theatre, and packed for a list."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.errors import GuylineError, OutOfRange
from tests.unit.test_case_answers import eye, read_back, reading

TODAY = "2026-11-25"


def row(power_d: float, count: int = 1, **other: Any) -> dict[str, Any]:
    return {"id": f"{power_d:g}", "lens_power_d": power_d, "lens_count": count, "lens_name": "Tray",
            "a": 118.4, **other}  # fmt: skip


def ask(operation: str, **request: Any) -> dict[str, Any]:
    value: dict[str, Any] = answer(operation, {"today": TODAY, **request})["value"]
    return value


def unplanned() -> dict[str, Any]:
    """An eye without a lens yet."""
    case = eye()
    case["lens"].update(lens_power_d=None, a=None)
    return case


@pytest.mark.parametrize(
    ("last_day", "state"),
    [("2026-11-24", "expired"), ("2026-11-25", "soon"), ("2027-01-24", "soon"), ("2027-01-25", "ready")],
)
def test_a_lens_may_be_used_up_to_its_last_day_and_is_warned_of_for_sixty(last_day: str, state: str) -> None:
    """Counted on the calendar: 25 November to 24 January is sixty days."""
    found = ask("box", lenses=[row(21.0, expires_on=last_day)])
    assert found["rows"][0]["state"] == state


def test_twelve_lenses_in_a_run() -> None:
    run = {"from_d": 15.0, "to_d": 26.0, "power_step": "whole"}
    assert ask("box", lenses=[], run=run)["run_d"] == [float(power) for power in range(15, 27)]
    half = ask("box", lenses=[], run={**run, "to_d": 16.0, "power_step": "half"})
    assert half["run_d"] == [15.0, 15.5, 16.0]


@pytest.mark.parametrize("wrong", [{"to_d": 14.0}, {"to_d": 26.5}, {"from_d": -10.0, "to_d": 45.0,
                                                                  "power_step": "half"}])  # fmt: skip
def test_a_run_that_cannot_be_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(OutOfRange):
        ask("box", lenses=[], run={"from_d": 15.0, "to_d": 26.0, "power_step": "whole", **wrong})


def test_the_plan_offers_the_box_and_never_an_expired_lens() -> None:
    box = [row(22.0), row(22.5, expires_on="2026-11-01"), row(23.0, 0), row(21.5, a=None), row(24.0, 2)]
    plan = ask("plan_case", case=unplanned(), box=box)
    assert [lens["lens_power_d"] for lens in plan["lenses"]] == [22.0, 24.0]
    why = {one["id"]: one["why"] for one in plan["box"]["left_out"]}
    assert why["22.5"] == "Expired on 2026-11-01." and why["23"] == "None is left."
    assert "Enter it from the lens label" in why["21.5"]
    assert plan["choice"]["first"] == plan["lenses"][0]["key"]
    assert [one["lens_power_d"] for one in plan["missing_powers"]] == [22.5]


def test_a_box_lens_brings_its_own_constants() -> None:
    """A hundredth of A moves no power by half a dioptre; two of A do."""
    plan = ask("plan_case", case=unplanned(), box=[row(22.0), row(22.0, lens_name="Other", a=120.4)])
    first, second = plan["lenses"]
    assert first["key"] != second["key"]
    assert abs(first["mean_d"] - second["mean_d"]) > 0.5
    assert first["fill"]["a"] != second["fill"]["a"]
    assert set(first["fill"]) == set(eye()["lens"])


def test_a_lens_filled_in_from_the_box_is_the_one_chosen() -> None:
    case = unplanned()
    box = [row(21.5), row(22.5)]
    fill = next(one for one in ask("plan_case", case=case, box=box)["lenses"] if one["lens_power_d"] == 22.5)
    case["lens"] = fill["fill"]
    plan = ask("plan_case", case=case, box=box)
    assert [one["lens_power_d"] for one in plan["lenses"] if one["chosen"]] == [22.5]
    assert plan["chosen"]["mean_d"] == pytest.approx(fill["mean_d"], abs=1e-12)


def test_a_chosen_lens_that_is_not_in_the_box_is_still_shown() -> None:
    plan = ask("plan_case", case=eye(), box=[row(24.0)])
    assert [(one["lens_power_d"], one["chosen"], one["pieces"]) for one in plan["lenses"]] == [
        (21.5, True, None), (24.0, False, 1)]  # fmt: skip


def test_an_empty_box_leaves_the_half_dioptres() -> None:
    case = eye()
    assert ask("plan_case", case=case, box=[]) == ask("plan_case", case=case)
    nothing = ask("plan_case", case=eye(), box=[row(22.0, expires_on="2026-01-01")])
    assert len(nothing["lenses"]) == 9 and nothing["box"]["left_out"]


def test_rows_of_one_kind_are_counted_together() -> None:
    box = [row(22.5, expires_on="2027-01-01"), {**row(22.5, 2), "id": "later"}]
    (lens,) = ask("plan_case", case=unplanned(), box=box)["lenses"]
    assert lens["pieces"] == 3 and lens["note"] == "Expires in 37 days, on 2027-01-01."


def test_a_last_day_needs_todays_date() -> None:
    with pytest.raises(GuylineError) as caught:
        answer("plan_case", {"case": eye(), "box": [row(22.0, expires_on="2027-01-01")]})
    assert caught.value.field == "today"


def surprised() -> dict[str, Any]:
    """Read twice about three dioptres too myopic: another lens is worth offering."""
    case = read_back(eye())
    case["readings"] = [reading(0, 2.5, -4.2), reading(1, 1.0, -3.8), reading(2, 1.8, -4.0)]
    return case


def test_another_lens_in_theatre_comes_from_the_box_alone() -> None:
    anything = ask("theatre_case", case=surprised())["advice"]["other_options"][1]
    assert anything["offered"] and anything["lens_power_d"] not in (18.5, 23.0)
    box = [row(18.5), row(23.0), row(anything["lens_power_d"], expires_on="2026-11-01")]
    offered = ask("theatre_case", case=surprised(), box=box)["advice"]["other_options"][1]
    assert offered["lens_power_d"] == 18.5 and "+18.5 D, Tray" in offered["message"]
    only = ask("theatre_case", case=surprised(), box=[row(21.5)])["advice"]["other_options"]
    assert [one["option"] for one in only] == ["accept"]


def test_a_list_is_packed_with_what_it_lacks() -> None:
    """Two eyes alike, one piece of the only fitting lens: one of them goes without."""
    first, second = unplanned(), unplanned()
    packed = ask("pack", cases=[first, second], box=[row(22.5, 1)])
    assert (packed["total"], packed["without_first"], packed["without_spare"]) == (1, 1, 2)
    lacking = next(one for one in packed["eyes"] if one["first"] is None)
    assert "+22.5 D, Tray" in lacking["lacks"][0]
    assert first["code"] in packed["text"] and packed["proven"]


def test_without_a_box_every_half_dioptre_can_be_taken() -> None:
    packed = ask("pack", cases=[eye(), eye()], strict=False)
    assert packed["total"] == 3 and not packed["left_out"]
    assert packed["eyes"][0]["shared_with"] == [packed["eyes"][1]["code"]]
    strict = ask("pack", cases=[eye(), eye()], strict=True)
    assert strict["total"] == 4 and strict["eyes"][0]["shared_with"] == []
    apart = ask("pack", cases=[eye(), eye()], days=[1, 2])
    assert apart["total"] == 4


def test_eyes_that_cannot_be_packed_are_named() -> None:
    empty = unplanned()
    done = eye() | {"decisions": [], "haptic_log": [{"id": "l", "at": "2026-11-20T09:00:00Z", "haptic": "a",
        "haptic_step": "cut", "length_mm": 1.0, "basis": "measured", "corrects": None}]}  # fmt: skip
    packed = ask("pack", cases=[empty, done, eye()])
    assert {one["code"]: one["why"] for one in packed["left_out"]} == {
        empty["code"]: "Enter the A constant from the lens label.",
        done["code"]: "This eye was operated on already."}  # fmt: skip
    assert len(packed["eyes"]) == 1
