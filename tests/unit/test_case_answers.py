"""Plan and theatre answers for a stored eye."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest

from pycore.api import handle
from pycore.records.case import empty_case
from pycore.records.codes import new_code

PRIOR = {
    "at": None, "length_basis": "measured", "removed_a_mm": 0.0, "removed_b_mm": 0.0,
    "placement": None, "refraction_d": None, "sphere_d": None, "cylinder_d": None,
    "axis_deg": None, "instrument": "aberrometer", "iop_mmhg": 18, "infusion": "closed",
    "fill": "saline", "iridectomy_done": True, "withdrawn": None,
}  # fmt: skip


def ask(operation: str, case: dict[str, Any]) -> dict[str, Any]:
    answer = json.loads(
        handle(json.dumps({"id": 1, "operation": operation, "payload": {"case": case}}))
    )
    return answer["value"] if "value" in answer else answer["error"]


def eye() -> dict[str, Any]:
    case = empty_case(code=new_code(), created_at="2026-11-20T08:00:00Z")
    case["eye"] = "left"
    case["measurements"].update(
        axial_length_mm=23.2, axial_method="optical", k_unit="d", k1_d=43.0, k2_d=44.0,
        keratometry_method="table", limbus_horizontal_mm=11.8, limbus_vertical_mm=11.2,
    )  # fmt: skip
    case["lens"].update(lens_power_d=21.5, a=118.4, lens_length_mm=13.0, optic_diameter_mm=6.0)
    case["plan"].update(target_d=-0.5, meridian_deg=20.0)
    return case


def read_back(case: dict[str, Any]) -> dict[str, Any]:
    fingerprint = ask("plan_case", case)["readback"]["fingerprint"]
    entry = {"id": "r1", "at": "2026-11-20T09:00:00Z", "kind": "plan", "by_two": True,
             "values": {"fingerprint": fingerprint}}  # fmt: skip
    return {**case, "readbacks": [entry]}


def reading(number: int, outside_mm: float, refraction_d: float, **other: Any) -> dict[str, Any]:
    return {
        **PRIOR,
        "id": f"x{number}",
        "at": f"2026-11-20T09:1{number}:00Z",
        "outside_a_mm": outside_mm,
        "outside_b_mm": outside_mm,
        "refraction_d": refraction_d,
        **other,
    }


def logged(number: int, haptic: str, step: str, length_mm: float) -> dict[str, Any]:
    return {"id": f"l{number}", "at": f"2026-11-20T09:3{number}:00Z", "haptic": haptic,
            "haptic_step": step, "length_mm": length_mm, "basis": "measured", "corrects": None}  # fmt: skip


def titrated() -> dict[str, Any]:
    case = read_back(eye())
    case["readings"] = [reading(0, 2.5, -0.6), reading(1, 2.5, -0.5), reading(2, 1.0, -0.1)]
    return case


def test_an_empty_eye_lists_all_that_is_missing() -> None:
    plan = ask("plan_case", empty_case(code=new_code(), created_at="2026-11-20T08:00:00Z"))
    assert plan["ready"] is False
    assert {item["path"] for item in plan["missing"]} == {
        "eye", "measurements.axial_length_mm", "measurements.axial_method",
        "measurements.k1_d", "measurements.k2_d", "lens.a", "plan.target_d",
    }  # fmt: skip
    assert plan["readback"] is None


def test_powers_show_before_a_lens_is_chosen_but_cannot_be_read_back() -> None:
    case = eye()
    case["lens"]["lens_power_d"] = None
    plan = ask("plan_case", case)
    assert plan["ready"] and plan["chosen"] is None and plan["readback"] is None
    assert "lens.lens_power_d" in {item["path"] for item in plan["missing"]}
    assert plan["formulas"]["srkt"]["power_d"] is not None
    assert plan["formulas"]["srkt"]["refraction_d"] is None


def test_the_plan_reads_back_eye_and_signed_power() -> None:
    lines = {line["label"]: line["value"] for line in ask("plan_case", eye())["readback"]["lines"]}
    assert lines["Eye"] == "Left eye"
    assert lines["Lens power"] == "+21.5 D"
    assert lines["Target"] == "\N{MINUS SIGN}0.50 D"
    assert "2:30" in lines["Fixation meridian"] and "8:30" in lines["Fixation meridian"]


def test_a_stronger_lens_is_more_myopic_and_reach_runs_to_myopia() -> None:
    lenses = ask("plan_case", eye())["lenses"]
    means = [lens["mean_d"] for lens in lenses]
    assert means == sorted(means, reverse=True)
    assert all(lens["reach"][0]["mean_d"] > lens["reach"][1]["mean_d"] for lens in lenses)
    assert sum(lens["chosen"] for lens in lenses) == 1


def test_titration_never_lowers_the_chance_of_a_lens_near_target() -> None:
    chosen = ask("plan_case", eye())["chosen"]
    assert chosen["titrated_within_050"] > chosen["within_050"]


def test_shares_of_the_interval_sum_to_one_and_add_up_to_it() -> None:
    plan = ask("plan_case", eye())
    assert sum(part["share"] for part in plan["budget"]) == pytest.approx(1.0)
    total = sum(part["sd_d"] ** 2 for part in plan["budget"]) ** 0.5
    assert total == pytest.approx(plan["chosen"]["sd_d"], rel=1e-9)


def test_theatre_is_closed_until_the_plan_was_read_back() -> None:
    theatre = ask("theatre_case", eye())
    assert theatre["blocked"]["code"] == "not_read_back"
    assert theatre["advice"] is None


@pytest.mark.parametrize(
    ("section", "key", "value"),
    [
        ("lens", "lens_power_d", 21.0),
        ("plan", "target_d", -1.0),
        ("plan", "meridian_deg", 30.0),
        ("measurements", "axial_length_mm", 23.3),
        ("history", "cornea", "scar"),
    ],
)
def test_theatre_closes_when_the_plan_changes(section: str, key: str, value: object) -> None:
    case = titrated()
    case[section][key] = value
    assert ask("theatre_case", case)["blocked"]["code"] == "plan_changed"


def test_the_other_eye_needs_its_own_read_back() -> None:
    case = titrated()
    case["eye"] = "right"
    assert ask("theatre_case", case)["blocked"]["code"] == "plan_changed"


def test_how_the_haptics_are_ended_may_be_decided_in_theatre() -> None:
    case = titrated()
    case["plan"].update(melt_mm=1.2, drawn_out_mm=2.5)
    assert ask("theatre_case", case)["blocked"] is None


def test_advice_names_the_clock_hours() -> None:
    theatre = ask("theatre_case", titrated())
    assert theatre["advice"]["no_useful_adjustment"] is False
    assert "2:30" in theatre["sentence"] and "8:30" in theatre["sentence"]
    assert "more cut" in theatre["lever"] and "more myopic" in theatre["lever"]


def test_the_cut_leaves_what_was_drawn_out_less_the_cut() -> None:
    theatre = ask("theatre_case", titrated())
    cut = theatre["advice"]["cut_mm"][0]
    line = next(part for part in theatre["readback"]["lines"] if part["label"] == "Haptic at 2:30")
    assert f"cut {cut:.1f} mm" in line["value"]
    assert "draw out to 2.5 mm" in line["value"]
    assert f"leave {2.5 - cut:.1f} mm" in line["value"]


def test_a_withdrawn_reading_is_shown_and_not_used() -> None:
    case = titrated()
    case["readings"][1]["withdrawn"] = {"at": "2026-11-20T09:20:00Z", "reason": "eye moved"}
    theatre = ask("theatre_case", case)
    shown = {part["id"]: part for part in theatre["readings"]}
    assert shown["x1"]["used"] is False and "eye moved" in shown["x1"]["why_not"]
    assert len(theatre["advice"]["gross"]) == 2


def test_a_reading_through_gas_is_not_used_and_says_why() -> None:
    case = titrated()
    case["readings"][0]["fill"] = "gas"
    shown = ask("theatre_case", case)["readings"][0]
    assert shown["used"] is False and "gas" in shown["why_not"]


def test_a_cut_in_the_log_counts_as_removed() -> None:
    case = titrated()
    before = ask("theatre_case", case)["advice"]["cut_mm"]
    case["haptic_log"] = [logged(0, "a", "cut", 0.5), logged(1, "b", "cut", 0.5)]
    theatre = ask("theatre_case", case)
    assert theatre["lengths"]["a"]["removed_mm"] == 0.5
    assert theatre["advice"]["cut_mm"][0] == pytest.approx(before[0] - 0.5, abs=1e-3)


def test_a_corrected_entry_does_not_count() -> None:
    case = titrated()
    case["haptic_log"] = [
        logged(0, "a", "cut", 0.9),
        {**logged(1, "a", "cut", 0.5), "corrects": "l0"},
    ]
    assert ask("theatre_case", case)["lengths"]["a"]["removed_mm"] == 0.5


def test_one_flange_ends_refractive_advice() -> None:
    case = titrated()
    case["haptic_log"] = [
        logged(0, "a", "pull", 2.5), logged(1, "a", "cut", 1.0), logged(2, "a", "melt", 1.0),
    ]  # fmt: skip
    theatre = ask("theatre_case", case)
    assert theatre["haptic_state"] == "one_flanged"
    assert theatre["advice"]["no_useful_adjustment"] is True
    assert theatre["advice"]["cut_mm"][0] == 0.0


def test_a_log_that_takes_off_more_than_is_outside_is_refused() -> None:
    case = titrated()
    case["haptic_log"] = [logged(0, "a", "cut", 1.5)]
    answer = ask("theatre_case", case)
    assert answer["code"] == "inconsistent"
    assert answer["field"] == "haptic_log[0].length_mm"


def test_a_faulty_record_is_refused_with_its_path() -> None:
    case = titrated()
    case["measurements"]["axial_length_mm"] = "23.2"
    answer = ask("theatre_case", case)
    assert answer["field"] == "measurements.axial_length_mm"


def test_the_answer_does_not_change_the_case() -> None:
    case = titrated()
    kept = copy.deepcopy(case)
    ask("theatre_case", case)
    ask("plan_case", case)
    assert case == kept


def test_a_far_hyperopic_eye_is_told_that_the_target_is_out_of_reach() -> None:
    case = titrated()
    case["readings"] = [reading(0, 2.5, 2.4), reading(1, 2.5, 2.6), reading(2, 1.0, 2.9)]
    theatre = ask("theatre_case", case)
    assert theatre["advice"]["no_useful_adjustment"] is True
    codes = {caution["code"] for caution in theatre["cautions"]}
    assert "target_out_of_reach" in codes
    assert [part["option"] for part in theatre["advice"]["other_options"]] == ["accept", "another_lens"]


def test_a_contact_scan_explains_why_more_myopia_is_expected() -> None:
    optical, contact = ask("plan_case", eye()), eye()
    contact["measurements"]["axial_method"] = "contact"
    plan = ask("plan_case", contact)
    assert "contact_reads_short" in {caution["code"] for caution in plan["cautions"]}
    assert "contact_reads_short" not in {caution["code"] for caution in optical["cautions"]}
    assert plan["chosen"]["mean_d"] < plan["formulas"]["holladay1"]["refraction_d"] - 0.3


def test_follow_up_compares_with_the_number_the_plan_showed() -> None:
    case = eye()
    case["measurements"]["axial_method"] = "contact"
    case["plan"]["tunnel_a_mm"] = 1.0
    shown = ask("plan_case", case)["chosen"]["mean_d"]
    assert ask("follow_up_case", case)["plan_predicted_d"] == pytest.approx(shown, abs=1e-9)


def test_an_error_names_the_entry_by_its_place_in_the_record() -> None:
    case = titrated()
    case["haptic_log"] = [
        logged(0, "a", "cut", 0.2),
        {**logged(1, "a", "cut", 0.1), "corrects": "l0"},
        logged(2, "a", "cut", 5.0),
    ]
    assert ask("theatre_case", case)["field"] == "haptic_log[2].length_mm"


def test_a_correction_takes_the_place_of_what_it_corrects() -> None:
    """Drawn out 2.5, cut 1.0; that 3.0 was written first, and noticed after the cut, changes nothing."""
    case, slip = titrated(), titrated()
    case["haptic_log"] = [logged(0, "a", "pull", 2.5), logged(2, "a", "cut", 1.0)]
    slip["haptic_log"] = [
        logged(0, "a", "pull", 3.0), logged(2, "a", "cut", 1.0),
        {**logged(3, "a", "pull", 2.5), "corrects": "l0"},
    ]
    right, corrected = ask("theatre_case", case), ask("theatre_case", slip)
    assert corrected["lengths"] == right["lengths"]
    assert corrected["lengths"]["a"]["original_mm"] == 2.5
    assert corrected["advice"]["cut_mm"] == right["advice"]["cut_mm"]


def test_a_doubtful_reading_is_named_by_its_place_among_all_listed() -> None:
    withdrawn = reading(0, 2.5, 9.0, withdrawn={"at": "2026-11-20T09:11:30Z", "reason": "bubble"})
    case = titrated()
    case["readings"] = [withdrawn, reading(1, 2.5, -0.5), reading(2, 2.5, 4.5), reading(3, 2.5, -0.4)]
    theatre = ask("theatre_case", case)
    doubtful = [one for one in theatre["cautions"] if one["code"] == "reading_doubtful"]
    assert [one["field"] for one in doubtful] == ["readings[2]"]
    assert doubtful[0]["message"].startswith("Reading 3 ")
    assert theatre["advice"]["without_doubtful"]["reading"] == "x2"


def test_an_unusual_value_is_not_taken_for_a_number_of_a_reading() -> None:
    withdrawn = reading(0, 2.5, 9.0, withdrawn={"at": "2026-11-20T09:11:30Z", "reason": "bubble"})
    case = titrated()
    case["readings"] = [withdrawn, *(reading(number, 2.5, 7.0) for number in range(1, 9))]
    warned = [one for one in ask("theatre_case", case)["cautions"] if one["code"] == "unusual_value"]
    assert [one["field"] for one in warned] == [f"readings[{place}].refraction_d" for place in range(1, 9)]
    assert all(one["message"].startswith("Reading 7 D ") for one in warned)


def test_an_error_names_a_reading_by_its_place_among_all_listed() -> None:
    withdrawn = reading(0, 2.5, 9.0, withdrawn={"at": "2026-11-20T09:11:30Z", "reason": "bubble"})
    case = titrated()
    case["readings"] = [
        withdrawn, reading(1, 2.0, -0.5, removed_a_mm=0.5), reading(2, 2.0, -0.5, removed_a_mm=0.0),
    ]
    answer = ask("theatre_case", case)
    assert answer["field"] == "readings[2].removed_mm[0]"
    assert "readings[2].removed_mm[0]" in answer["message"]


def test_the_read_back_of_a_recut_says_how_much_comes_off_each_side() -> None:
    case = titrated()
    case["readings"] = [reading(0, 1.5, 1.2), reading(1, 1.5, 1.3), reading(2, 1.5, 1.2)]
    case["plan"]["drawn_out_mm"] = 5.0
    case["haptic_log"] = [
        logged(number, side, "melt", 1.0) for number, side in enumerate("ab")
    ]
    theatre = ask("theatre_case", case)
    lines = {line["label"]: line["value"] for line in theatre["readback"]["lines"]}
    haptics = [value for label, value in lines.items() if label.startswith("Haptic")]
    assert theatre["advice"]["reason"] == "recut"
    assert len(haptics) == 2
    for value, cut in zip(haptics, theatre["advice"]["cut_mm"], strict=True):
        assert value == f"flange made; cut {cut:.1f} mm off, melt again 1.0 mm"


@pytest.mark.parametrize("step", ["cut", "melt"])
def test_a_cut_of_unknown_length_is_asked_for_and_never_taken_as_nothing(step: str) -> None:
    case = titrated()
    case["haptic_log"] = [
        logged(0, "a", "pull", 2.5), {**logged(1, "a", step, 0.9), "length_mm": None},
        logged(2, "a", "measure", 1.5),
    ]
    answer = ask("theatre_case", case)
    assert answer["code"] == "missing_field"
    assert answer["field"] == "haptic_log[1].length_mm"


def test_a_haptic_moved_alone_does_not_make_the_cuts_unequal() -> None:
    """Pulling one draws the other in: one new length says nothing about centration."""
    case = titrated()
    before = ask("theatre_case", case)["advice"]["cut_mm"]
    case["haptic_log"] = [logged(0, "a", "pull", 2.2)]
    theatre = ask("theatre_case", case)
    assert theatre["advice"]["cut_mm"] == pytest.approx(before)
    assert "centre_first" in {caution["code"] for caution in theatre["cautions"]}
    case["haptic_log"].append(logged(1, "b", "measure", 1.8))
    first, second = ask("theatre_case", case)["advice"]["cut_mm"]
    assert first - second == pytest.approx(0.4)


def test_an_impossible_entry_closes_the_read_back() -> None:
    case = eye()
    case["measurements"].update(k1_d=44.0, k2_d=43.0)
    plan = ask("plan_case", case)
    assert plan["readback"] is None
    assert any(item["path"].startswith("measurements.k") for item in plan["missing"])


@pytest.mark.parametrize(("power_d", "length_mm", "becomes"), [(21.5, 23.2, "myopic"), (-4.0, 33.0, "hyperopic")])
def test_what_a_cut_does_follows_the_lens(power_d: float, length_mm: float, becomes: str) -> None:
    """Forward is more myopic with a plus lens and more hyperopic with a minus lens."""
    case = eye()
    case["lens"]["lens_power_d"] = power_d
    case["measurements"]["axial_length_mm"] = length_mm
    case = read_back(case)
    case["readings"] = [reading(0, 2.5, -0.6), reading(1, 1.0, -0.5)]
    answered = ask("theatre_case", case)
    assert answered["lever"] == f"more cut → lens further forward → more {becomes}"
    nothing_cut, drawn_out = answered["advice"]["reach"]
    assert (drawn_out["mean_d"] < nothing_cut["mean_d"]) is (becomes == "myopic")
