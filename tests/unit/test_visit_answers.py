"""What a visit says in words, what ends a follow-up, and what to look at first."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from tests.records.sample import sample, visit

Case = dict[str, Any]


def follow(case: Case, today: str = "2026-06-20") -> Case:
    value: Case = answer("follow_up_case", {"case": case, "today": today})["value"]
    return value


def facts(**changes: Any) -> dict[str, str]:
    found = follow({**sample(), "follow_ups": [visit("v", "2026-06-11", **changes)]})["visits"][0]["facts"]
    return {fact["label"]: fact["value"] for fact in found}


def lost(case: Case, on: str = "2026-06-15") -> Case:
    return {**case, "lost_to_follow_up": {"on": on, "reason": "moved"}}


def due_of(case: Case, today: str) -> tuple[str, str | None]:
    value = answer("check_case", {"case": case, "today": today})["value"]
    return value["due"], value["due_on"]


def test_an_eye_is_due_with_its_date_until_it_is_lost() -> None:
    assert due_of(sample(), "2026-09-20") == ("Month 3 overdue since 2026-08-11", "2026-08-11")
    assert due_of(lost(sample()), "2026-09-20") == ("Lost to follow-up since 2026-06-15: moved away", None)
    found = follow(lost(sample()), "2026-09-20")
    assert found["lost"]["text"] == "Lost to follow-up from 2026-06-15: moved away."
    assert {due["state"] for due in found["due"]} == {"done", "missed", "lost"}


def test_what_is_due_carries_its_reasons() -> None:
    case = {**sample(), "follow_ups": [visit("v", "2026-06-11", complications=["uveitis"], flange_check="thin")]}
    value = answer("check_case", {"case": case, "today": "2026-09-20"})["value"]
    assert value["due_why"] == ["reference refraction, lens position",
                                "last visit: uveitis, thin cover over a flange"]
    assert answer("check_case", {"case": lost(sample()), "today": "2026-09-20"})["value"]["due_why"] == []


def test_an_eye_that_is_seen_again_is_no_longer_lost() -> None:
    case = lost(sample(), on="2026-06-01")
    assert follow(case)["lost"] is None
    assert due_of(case, "2026-09-20")[1] == "2026-08-11"


@pytest.mark.parametrize(("check", "state"), [("covered", "done"), (None, "done"), ("not_seen", "late")])
def test_a_yearly_check_looks_at_the_flanges(check: str | None, state: str) -> None:
    case = {**sample(), "follow_ups": [visit("v", "2028-05-10", flange_check=check)]}
    found = {due["label"]: due["state"] for due in follow(case, "2028-08-01")["due"]}
    assert found["Year 2: flanges"] == state


def test_a_low_vision_acuity_keeps_the_refraction_from_counting() -> None:
    found = follow({**sample(), "follow_ups": [visit("v", "2026-06-11", cdva_logmar=None, cdva_low="cf")]})
    row = found["visits"][0]
    assert row["counts"] is False
    assert row["why_not"] == ["Corrected acuity, counting fingers, is worse than 6/24."]


def test_acuities_stand_in_every_form() -> None:
    found = facts(udva_logmar=0.3, cdva_logmar=None, cdva_low="hm")
    assert found["Uncorrected acuity"] == "6/12 · 20/40 · 0.5 · logMAR 0.30"
    assert found["Corrected acuity"] == "hand movements"


def test_keratometry_is_shown_as_it_was_entered() -> None:
    assert facts(k_unit="d", k1_d=42.5, k2_d=44, k2_axis_deg=85)["Keratometry"] == (
        "42.50 D / 44.00 D, steep at 085°")
    assert facts(k_unit="mm", r1_mm=7.94, r2_mm=7.67)["Keratometry"] == "7.94 mm / 7.67 mm"


def test_lens_position_carries_its_definition() -> None:
    found = facts(optic_depth_mm=4.52, optic_depth_from="epithelium", tilt_deg=6.1, tilt_axis_deg=20,
                  decentre_mm=0.4, decentre_axis_deg=200, tilt_reference="sight", pose_device="oct")
    assert found["Lens depth"] == "4.52 mm from the corneal epithelium"
    assert found["Lens position"] == ("tilt 6.1° about 020°; decentred 0.40 mm toward 200°; against the line of "
                                      "sight, by anterior segment OCT")
    assert "reference not entered" in facts(tilt_deg=6.1)["Lens position"]


def test_complications_carry_day_and_treatment() -> None:
    found = facts(complications=["optic_capture", "uveitis"], complication_details=[
        {"complication": "optic_capture", "days_after": 12, "treatment": "clinic"}])
    assert found["Complications"] == (
        "Optic captured by the iris, day 12, procedure in the clinic; Uveitis, day 30")


def cautions(day: str = "2026-06-11", **changes: Any) -> dict[str, Case]:
    found = follow({**sample(), "follow_ups": [visit("v", day, **changes)]})["cautions"]
    return {caution["code"]: caution for caution in found}


@pytest.mark.parametrize(("sphere", "likely"), [(-3.0, "captured optic"), (2.5, "reverse pupil block")])
def test_an_early_surprise_lists_what_to_check_and_what_its_sign_means(sphere: float, likely: str) -> None:
    found = cautions("2026-05-13", sphere_d=sphere, cylinder_d=0)["early_surprise"]
    assert likely in found["message"]
    assert "Do not act on the refraction" in found["message"]
    listed = " ".join(found["checks"])
    for word in ("IOP", "chamber", "capture", "Gas", "slipped"):
        assert word in listed


@pytest.mark.parametrize(("changes", "code"), [
    ({"flange_check": "exposed"}, "flange_exposed"), ({"flange_check": "thin"}, "flange_thin"),
    ({"sutures": "removed"}, "sutures_removed"),
    *(({"complications": [word]}, word) for word in (
        "optic_capture", "reverse_pupil_block", "flange_exposed", "haptic_slip", "hypotony",
        "choroidal_detachment", "vitreous_haemorrhage", "macular_oedema", "retinal_detachment", "iris_chafe",
        "endophthalmitis")),
])
def test_each_finding_says_what_to_do(changes: Case, code: str) -> None:
    assert len(cautions(**changes)[code]["message"].split()) > 5


def test_the_notation_of_a_refraction_is_said_in_words() -> None:
    value = answer("refraction", {"sphere_d": -1.25, "cylinder_d": 1.0, "axis_deg": 90})["value"]
    assert value["notation"] == "plus-cylinder notation"
    assert value["words"] == "minus 1.25 sphere, plus 1.00 cylinder, axis 90 (plus-cylinder notation)"
    assert value["minus_text"] == "−0.25 D −1.00 D × 180°"
