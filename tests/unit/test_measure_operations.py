"""``measurements``, ``second_route`` and ``media`` through the door: warnings and refusals."""

from __future__ import annotations

import json
from typing import Any

import pytest

from pycore.api import handle

EYE = {"axial_length_mm": 23.5, "k1_d": 43.0, "k2_d": 44.0}
ROUTE = {**EYE, "axial_method": "contact", "constants": {"a": 118.7}, "target_d": -0.5}
ADVISE = {**ROUTE, "lens_power_d": 21.0, "haptic": {"drawn_out_mm": 2.7}}
READING = {"refraction_d": 11.5, "instrument": "aberrometer", "vertex_mm": 12.0}
MEDIA = {**EYE, "constants": {"a": 118.7}, "target_d": 0.0, "medium": "oil", "lens_index": 1.49}


def ask(operation: str, payload: dict[str, Any]) -> dict[str, Any]:
    answer = json.loads(handle(json.dumps({"id": 1, "operation": operation, "payload": payload})))
    assert isinstance(answer, dict)
    return answer


def value(operation: str, payload: dict[str, Any]) -> dict[str, Any]:
    answer = ask(operation, payload)
    assert "value" in answer, answer
    return answer["value"]  # type: ignore[no-any-return]


def warnings(operation: str, payload: dict[str, Any]) -> dict[str, str]:
    answer = ask(operation, payload)
    assert "value" in answer, answer
    return {entry["code"]: entry["message"] for entry in answer["warnings"]}


def aphakic(**changes: Any) -> dict[str, Any]:
    return {**ROUTE, "aphakic": {key: part for key, part in {**READING, **changes}.items() if part is not ...}}


@pytest.mark.parametrize(("operation", "payload", "code", "field"), [
    ("second_route", ROUTE, "missing_field", "aphakic"),
    ("second_route", aphakic(vertex_mm=...), "missing_field", "aphakic.vertex_mm"),
    ("second_route", aphakic(refraction_d=...), "missing_field", "aphakic.refraction_d"),
    ("second_route", aphakic(sphere_d=12.0), "inconsistent", "aphakic"),
    ("second_route", aphakic(cylinder_d=-1.0), "inconsistent", "aphakic.cylinder_d"),
    ("second_route", aphakic(refraction_d=..., sphere_d=12.0, cylinder_d=-1.0), "missing_field",
     "aphakic.axis_deg"),
    ("second_route", aphakic(working_distance_m=0.5), "inconsistent", "aphakic.working_distance_m"),
    ("second_route", aphakic(instrument="retinoscope", working_distance_m=50), "out_of_range",
     "aphakic.working_distance_m"),
    ("second_route", aphakic(fill="oil"), "reading_refused", "aphakic.fill"),
    ("second_route", aphakic(fill="gas"), "reading_refused", "aphakic.fill"),
    ("measurements", {**EYE}, "missing_field", "axial_method"),
    ("measurements", {"k1_d": 43.0, "k2_d": 44.0}, "missing_field", "constants.a"),
    ("measurements", {**EYE, "axial_method": "contact", "velocity_m_s": 1550}, "missing_field", "lens_state"),
    ("measurements", {**EYE, "axial_method": "contact", "lens_state": "aphakic"}, "missing_field",
     "velocity_m_s"),
    ("measurements", {**EYE, "axial_method": "optical", "velocity_m_s": 1550}, "inconsistent", "axial_method"),
    ("measurements", {**EYE, "axial_method": "contact", "velocity_m_s": 1550, "lens_state": "pseudophakic"},
     "missing_field", "lens_material"),
    ("measurements", {**EYE, "axial_method": "contact", "segments": [
        {"tissue": "aqueous", "length_mm": 3.0, "velocity_m_s": 1550}]}, "inconsistent", "segments"),
    ("measurements", {"axial_length_mm": 23.5, "axial_method": "optical", "r1_mm": 7.8, "r2_mm": 7.7,
                      "keratometer_index": 1.332}, "inconsistent", "keratometer_index"),
    ("measurements", {**EYE, "axial_method": "optical", "laser_for": "myopia"}, "inconsistent", "cornea"),
    ("measurements", {**EYE, "axial_method": "optical", "power_kind": "total", "keratometer_index": 1.332},
     "inconsistent", "power_kind"),
    ("measurements", {"axial_length_mm": 15.0, "axial_method": "contact", "velocity_m_s": 1700,
                      "lens_state": "aphakic_oil", "k1_d": 43.0, "k2_d": 44.0}, "out_of_range",
     "axial_length_mm"),
    ("media", {**MEDIA, "medium": "water"}, "unknown_choice", "medium"),
    ("media", {**MEDIA, "lens_index": ...}, "wrong_type", "lens_index"),
])
def test_refused_by_name(operation: str, payload: dict[str, Any], code: str, field: str) -> None:
    payload = {key: "none" if part is ... else part for key, part in payload.items()}
    error = ask(operation, payload)["error"]
    assert (error["code"], error["field"]) == (code, field)
    assert error["message"]


@pytest.mark.parametrize(("operation", "payload", "code"), [
    ("second_route", aphakic(instrument="retinoscope"), "taken_as_net"),
    ("second_route", aphakic(refraction_d=14.0), "routes_disagree"),
    ("measurements", {**EYE, "axial_method": "contact"}, "velocity_unknown"),
    ("measurements", {"axial_length_mm": 23.5, "axial_method": "optical"}, "cornea_estimated"),
    ("measurements", {"k1_d": 43.0, "k2_d": 44.0, "constants": {"a": 118.7}}, "length_estimated"),
    ("measurements", {**EYE, "axial_method": "optical", "cornea": "refractive_surgery"}, "laser_unknown"),
    ("measurements", {**EYE, "axial_method": "optical", "cornea": "refractive_surgery",
                      "laser_for": "myopia"}, "after_laser"),
    ("measurements", {**EYE, "axial_method": "optical", "lens_state": "aphakic_oil"}, "oil_in_beam"),
    ("measurements", {**EYE, "axial_method": "optical", "chamber_depth_mm": 3.0}, "depth_from_unknown"),
    ("measurements", {**EYE, "axial_method": "optical", "chamber_depth_mm": 3.0, "depth_from": "endothelium"},
     "thickness_assumed"),
    ("measurements", {**EYE, "axial_method": "optical", "fellow": {"axial_length_mm": 24.0}},
     "eyes_differ_in_length"),
    ("media", MEDIA, "oil_stays_unknown"),
    ("media", {**MEDIA, "medium": "gas"}, "gas_goes_away"),
])
def test_warned(operation: str, payload: dict[str, Any], code: str) -> None:
    assert code in warnings(operation, payload)


def test_an_ordinary_eye_passes_without_a_word_and_unchanged() -> None:
    payload = {**EYE, "axial_method": "optical"}
    assert warnings("measurements", payload) == {}
    found = value("measurements", payload)
    assert (found["axial_length_mm"], found["k1_d"], found["k2_d"]) == (23.5, 43.0, 44.0)
    assert found["steps"] == []
    assert warnings("second_route", aphakic()) == {}


def test_the_corrected_measurements_go_into_advice() -> None:
    found = value("measurements", {**EYE, "axial_method": "contact", "velocity_m_s": 1550,
                                   "lens_state": "aphakic"})
    request = {**ADVISE, "axial_length_mm": found["axial_length_mm"], "belief": found["belief"]}
    by_method = {**ADVISE, "axial_length_mm": found["axial_length_mm"]}
    assert value("advise", request)["final"] == value("advise", by_method)["final"]


def test_the_message_names_what_would_explain_it() -> None:
    """0.3 mm of axial length: the reading of an eye that much shorter, all else exact."""
    shorter = value("second_route", {**aphakic(), "axial_method": "optical", "axial_length_mm": 23.2})
    reading = shorter["expected_refraction_d"]
    found = value("second_route", {**aphakic(refraction_d=reading), "axial_method": "optical"})
    length = next(one for one in found["would_explain"] if one["input"] == "axial_length_mm")
    assert length["change"] == pytest.approx(-0.3, abs=1e-6)
    assert length["message"] == "Axial length 23.20 mm instead of 23.50 mm would explain it."
    message = warnings("second_route", aphakic(refraction_d=8.0))["routes_disagree"]
    assert "\u2212" in message
    assert "would explain it" in message


def test_advice_without_an_aphakic_reading_is_untouched() -> None:
    plain, null = ask("advise", ADVISE), ask("advise", {**ADVISE, "aphakic": None})
    assert plain == null
    assert "aphakic" not in plain["provenance"]


def test_an_aphakic_reading_moves_and_sharpens_advice() -> None:
    plain = value("advise", ADVISE)["final"]
    found = ask("advise", {**ADVISE, "aphakic": {**READING, "refraction_d": 12.0}})
    final = found["value"]["final"]
    assert final["sd_d"] < plain["sd_d"]
    assert final["mean_d"] > plain["mean_d"]
    assert found["provenance"]["aphakic"]["surprise_sds"] > 0.0


def test_retinoscopy_is_taken_to_infinity_and_then_to_twelve_millimetres() -> None:
    gross = value("second_route", aphakic(refraction_d=13.5, instrument="retinoscope", vertex_mm=12.0,
                                          working_distance_m=0.5))
    assert gross["aphakic_refraction_d"] == pytest.approx(11.5, abs=1e-12)
    farther = value("second_route", aphakic(vertex_mm=13.75))
    assert farther["aphakic_refraction_d"] > 11.5


def test_what_to_plan_for_hangs_on_whether_the_oil_stays() -> None:
    plans = [value("media", {**MEDIA, "oil_stays": stays})["plan_for"] for stays in (None, True, False)]
    assert plans == ["ask", "medium", "saline"]
    assert value("media", {**MEDIA, "medium": "gas"})["plan_for"] == "saline"
    saline = value("media", {**MEDIA, "medium": "saline"})["shapes"]
    assert all(abs(entry["shift_d"]) < 1e-9 for entry in saline.values())
    oil = value("media", MEDIA)["shapes"]
    assert oil["equiconvex"]["shift_d"] > oil["flat_back"]["shift_d"] > oil["concave_back"]["shift_d"] > 0
    assert oil["equiconvex"]["extra_power_d"] == pytest.approx(
        oil["equiconvex"]["power_for_target_d"] - value("media", MEDIA)["power_in_saline_d"])
