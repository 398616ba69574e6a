"""Visits against the prediction, through the door.

Values computed by hand stand beside their arithmetic. The plan's prediction is checked by
an identity: the power that a formula wants for a target predicts that very target.
"""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from tests.records.sample import changed, reading, sample, visit

Case = dict[str, Any]


def follow(case: Case, today: str = "2026-06-20") -> Case:
    value: Case = answer("follow_up_case", {"case": case, "today": today})["value"]
    return value


def seen(**changes: Any) -> Case:
    """The answer for one visit on the day ``on`` (by default day 30)."""
    day = changes.pop("on", "2026-06-11")
    found: Case = follow({**sample(), "follow_ups": [visit("v", day, **changes)]})
    return found


def only(**changes: Any) -> Case:
    found: Case = seen(**changes)["visits"][0]
    return found


def caution_codes(**changes: Any) -> set[str]:
    return {caution["code"] for caution in seen(**changes)["cautions"]}


def test_days_equivalent_and_difference() -> None:
    found = only(sphere_d=0.25, cylinder_d=-1.5, axis_deg=80)
    assert found["days"] == 30
    assert found["se_d"] == pytest.approx(-0.5, abs=1e-12)  # 0.25 - 1.50 / 2
    assert found["predicted_d"] == -0.4
    assert found["error_d"] == pytest.approx(-0.1, abs=1e-12)
    assert found["error_text"] == "−0.10 D: more myopic than predicted after the readings"


def test_a_hyperopic_difference_is_called_so() -> None:
    assert only(sphere_d=0.5, cylinder_d=0)["error_text"].startswith("+0.90 D: more hyperopic")


def test_the_equivalent_is_taken_to_twelve_millimetres() -> None:
    # F / (1 + 0.002 F) for a lens worn 2 mm further out: -10 / 1.02 = -9.8039.
    found = only(sphere_d=-10, cylinder_d=0, axis_deg=None, vertex_mm=14)
    assert found["se_d"] == pytest.approx(-10 / 1.02, abs=1e-9)


def test_each_meridian_is_moved_by_itself() -> None:
    # Meridians -8 and -12: -8 / 1.016 and -12 / 1.024, their mean.
    found = only(sphere_d=-8, cylinder_d=-4, axis_deg=10, vertex_mm=14)
    assert found["se_d"] == pytest.approx((-8 / 1.016 - 12 / 1.024) / 2, abs=1e-9)


def test_both_forms_are_written_with_signs_and_three_digit_axes() -> None:
    found = only(sphere_d=0.5, cylinder_d=-1.25, axis_deg=5)
    assert found["minus_text"] == "+0.50 D −1.25 D × 005°"
    assert found["plus_text"] == "−0.75 D +1.25 D × 095°"
    assert only(sphere_d=-1, cylinder_d=0, axis_deg=None)["minus_text"] == "−1.00 D sphere"


@pytest.mark.parametrize("formula", ["srkt", "holladay1", "hoffer_q", "haigis"])
@pytest.mark.parametrize("target", [-1.5, 0.0])
def test_the_lens_wanted_for_a_target_is_planned_to_reach_it(formula: str, target: float) -> None:
    measured = sample()["measurements"]
    wanted = answer("power", {
        **{key: measured[key] for key in ("axial_length_mm", "k1_d", "k2_d", "phakic_acd_mm")},
        "target_d": target, "constants": {"a": 118.7}})["value"]["formulas"][formula]["power_d"]
    case = changed("lens.lens_power_d", wanted, changed("plan.formula", formula))
    found = follow(case)
    assert found["plan_predicted_d"] == pytest.approx(target, abs=1e-9)
    assert found["visits"][1]["plan_error_d"] == pytest.approx(-0.5 - target, abs=1e-9)  # -0.25 - 0.5/2


def test_radii_are_used_when_the_cornea_was_entered_in_mm() -> None:
    case = sample()
    case["measurements"] |= {"k_unit": "mm", "r1_mm": 337.5 / 42.5, "r2_mm": 337.5 / 44.0, "k1_d": None,
        "k2_d": None}
    assert follow(case)["plan_predicted_d"] == pytest.approx(follow(sample())["plan_predicted_d"], abs=1e-9)


@pytest.mark.parametrize("path",
    ["lens.lens_power_d", "lens.a", "measurements.k1_d", "measurements.axial_length_mm"])
def test_without_its_numbers_there_is_no_planned_prediction(path: str) -> None:
    found = follow(changed(path, None))
    assert found["plan_predicted_d"] is None
    assert found["visits"][1]["plan_error_d"] is None


def test_the_last_decision_is_the_prediction() -> None:
    later = {**sample()["decisions"][0], "id": "d2", "at": "2026-05-12T08:19:00Z", "mean_d": -0.6}
    case = {**sample(), "decisions": [*sample()["decisions"], later]}
    assert follow(case)["visits"][1]["predicted_d"] == -0.6


def test_an_incomplete_refraction_is_never_completed() -> None:
    for changes in ({"cylinder_d": None}, {"sphere_d": None}, {"axis_deg": None}):
        found = only(**changes)
        assert (found["se_d"], found["error_d"], found["minus_text"]) == (None, None, None)


@pytest.mark.parametrize(
    ("changes", "counts"),
    [
        ({}, True), ({"on": "2026-06-09"}, True), ({"on": "2026-06-08"}, False),
        ({"iop_mmhg": 8}, True), ({"iop_mmhg": 7}, False), ({"iop_mmhg": 30}, True),
         ({"iop_mmhg": 31}, False),
        ({"cdva_logmar": 0.6, "udva_logmar": 0.7}, True), ({"cdva_logmar": 0.62, "udva_logmar": 0.7}, False),
        ({"complications": ["hyphaema"]}, True), ({"complications": ["corneal_oedema"]}, False),
        ({"complications": ["macular_oedema"]}, False), ({"complications": ["gas_in_eye"]}, False),
        ({"complications": ["optic_capture"]}, False), ({"complications": ["lens_dislocation"]}, False),
        ({"sphere_d": None, "cylinder_d": None, "axis_deg": None}, False),
        ({"withdrawn": {"at": "2026-06-12T08:00:00Z", "reason": "x"}}, False),
    ],
)
def test_whether_a_refraction_counts(changes: Case, counts: bool) -> None:
    found = only(**changes)
    assert found["counts"] is counts
    assert bool(found["why_not"]) is (not counts and not found["withdrawn"])


def test_a_surprise_on_the_first_day_asks_to_look_and_not_to_act() -> None:
    found = seen(on="2026-05-13", sphere_d=-2.0, cylinder_d=0)["cautions"]
    assert [caution["code"] for caution in found] == ["early_surprise"]
    message = found[0]["message"]
    for word in ("−1.60 D", "more myopic", "IOP", "chamber", "optic", "gas", "Do not act", "day 28"):
        assert word in message
    assert found[0]["field"] == "follow_ups[0].sphere_d"


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"on": "2026-05-13"}, "too_early"),
        ({"on": "2026-05-19", "sphere_d": -3.0}, "early_surprise"),
        ({"on": "2026-05-20", "sphere_d": -3.0}, "early_surprise"),
        ({"on": "2026-06-08", "sphere_d": -3.0}, "early_surprise"),
        ({"on": "2026-06-08"}, "too_early"),
        ({"sphere_d": -1.5}, "surprise"),
        ({"on": "2026-06-09", "sphere_d": -3.0}, "surprise"),
        ({"iop_mmhg": 7}, "low_iop"),
        ({"iop_mmhg": 31}, "high_iop"),
        ({"complications": ["flange_exposed"]}, "flange_exposed"),
        ({"complications": ["endophthalmitis"]}, "endophthalmitis"),
        ({"sphere_d": -5.0, "vertex_mm": None}, "vertex_missing"),
        ({"sphere_d": 5.0, "vertex_mm": None}, "vertex_missing"),
    ],
)
def test_what_to_look_into(changes: Case, code: str) -> None:
    assert code in caution_codes(**changes)


def test_without_a_decision_the_plan_is_the_measure_of_a_surprise() -> None:
    planned = follow(sample())["plan_predicted_d"]
    for sphere, surprise in ((planned - 1.01, True), (planned - 0.99, False)):
        case = {**sample(), "decisions": [], "readings": [],
            "follow_ups": [visit("v", "2026-06-11", sphere_d=sphere, cylinder_d=0)]}
        assert bool(follow(case)["cautions"]) is surprise


@pytest.mark.parametrize(
    "changes", [{}, {"iop_mmhg": 8}, {"iop_mmhg": 30}, {"iop_mmhg": None}, {"vertex_mm": None}]
)
def test_an_ordinary_visit_needs_no_caution(changes: Case) -> None:
    assert seen(**changes)["cautions"] == []


@pytest.mark.parametrize(("sphere", "found"),
    [(-1.5, {"surprise"}), (-1.49, set()), (0.5, {"surprise"}), (0.49, set())])
def test_a_surprise_is_one_dioptre(sphere: float, found: set[str]) -> None:
    case = changed("decisions.0.mean_d", -0.5)
    case["follow_ups"] = [visit("v", "2026-06-11", sphere_d=sphere, cylinder_d=0)]
    assert {caution["code"] for caution in follow(case)["cautions"]} == found


def test_a_visit_without_a_date_of_surgery_is_not_judged_by_its_day() -> None:
    case = {**sample(), "surgery_on": None, "follow_ups": [visit("v", "2026-06-11", sphere_d=-4.0)]}
    found = follow(case)
    assert (found["cautions"], found["due"], found["visits"][0]["days"]) == ([], [], None)
    assert found["visits"][0]["se_d"] == pytest.approx(-4.25, abs=1e-12)


def test_a_visit_before_surgery_keeps_no_appointment() -> None:
    found = only(on="2026-05-11")
    assert (found["days"], found["label"], found["late_days"], found["counts"]) == (-1, None, None, False)


def test_a_withdrawn_visit_is_listed_and_not_judged() -> None:
    found = seen(iop_mmhg=3, withdrawn={"at": "2026-06-12T08:00:00Z", "reason": "other eye"})
    assert found["visits"][0]["withdrawn"] is True
    assert found["cautions"] == []
    assert [due["state"] for due in found["due"] if due["label"] == "Month 1"] == ["due"]


def test_lateness_is_counted_from_the_day_it_was_due() -> None:
    assert only(on="2026-06-14")["late_days"] == 3  # day 33, due on day 30
    assert only(on="2026-06-10")["late_days"] == 0


def test_a_faulty_value_is_named_and_the_rest_is_answered() -> None:
    found = answer("follow_up_case", {"case": changed("lens.lens_power_d", "22"), "today": "2026-06-20"})
    assert [(note["field"], note["code"]) for note in found["warnings"]] == [("lens.lens_power_d",
        "wrong_type")]
    assert found["value"]["visits"][1]["error_d"] == pytest.approx(-0.1, abs=1e-12)
    assert found["value"]["plan_predicted_d"] is None


def test_a_faulty_reading_does_not_trouble_the_follow_up() -> None:
    case = {**sample(), "readings": [reading("r", 5, 3.0, fill="gas")]}
    assert answer("follow_up_case", {"case": case, "today": "2026-06-20"})["warnings"] == []
