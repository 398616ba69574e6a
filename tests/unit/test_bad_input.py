"""Slips of the hand and of the unit: each refused by name or warned about, with what to do."""

from __future__ import annotations

import json
from typing import Any

import pytest

from pycore.api import handle

READING = {"outside_mm": [2.4, 2.4], "refraction_d": -0.6, "instrument": "aberrometer"}
PUSHED_IN = {"outside_mm": [1.2, 1.2], "refraction_d": -0.2, "instrument": "aberrometer"}


def request(**changes: Any) -> dict[str, Any]:
    """A sound request to ``advise`` with ``changes``; a value of ``...`` removes the key."""
    payload = {
        "axial_length_mm": 23.5, "k1_d": 43.0, "k2_d": 44.0, "axial_method": "optical",
        "formula": "holladay1", "phakic_acd_mm": 3.2, "constants": {"a": 118.7}, "lens_power_d": 21.0,
        "target_d": -0.5, "readings": [READING, PUSHED_IN], "haptic": {"drawn_out_mm": 2.7}, **changes,
    }
    return {key: value for key, value in payload.items() if value is not ...}


def ask(payload: object, operation: str = "advise") -> dict[str, Any]:
    answer = json.loads(handle(json.dumps({"id": 1, "operation": operation, "payload": payload})))
    assert isinstance(answer, dict)
    return answer


def refused(payload: object, operation: str = "advise") -> dict[str, str]:
    answer = ask(payload, operation)
    assert "error" in answer, answer
    return answer["error"]


def warned(payload: dict[str, Any]) -> dict[tuple[str, str], str]:
    """Messages of the warnings by code and field."""
    answer = ask(payload)
    assert "value" in answer, answer
    return {(entry["code"], entry["field"]): entry["message"] for entry in answer["warnings"]}


def reading(**changes: Any) -> dict[str, Any]:
    """A request whose second reading is changed."""
    second = {key: value for key, value in {**PUSHED_IN, **changes}.items() if value is not ...}
    return request(readings=[READING, second])


def haptic(**changes: Any) -> dict[str, Any]:
    return request(haptic={"drawn_out_mm": 2.7, **changes})


def test_the_sound_request_itself_passes_without_a_word() -> None:
    assert warned(request()) == {}


#: name: (payload, code, field, what the message must say to do)
REFUSED: dict[str, tuple[dict[str, Any], str, str, str]] = {
    "K typed as a radius": (request(k1_d=7.8), "wrong_unit", "k1_d", "enter it as a radius"),
    "both K typed as radii": (request(k1_d=7.8, k2_d=7.6), "wrong_unit", "k1_d", "enter it as a radius"),
    "radius typed as K": (request(k1_d=..., k2_d=..., r1_mm=43.0, r2_mm=44.0), "wrong_unit", "r1_mm",
                          "enter it as a power"),
    "axial length without its decimal mark": (request(axial_length_mm=235), "wrong_unit",
                                              "axial_length_mm", "23.5 mm"),
    "axial length negative": (request(axial_length_mm=-23.5), "out_of_range", "axial_length_mm", "Check"),
    "axial length nothing": (request(axial_length_mm=0), "out_of_range", "axial_length_mm", "Check"),
    "plus cylinder": (reading(refraction_d=..., sphere_d=-1.0, cylinder_d=1.5, axis_deg=90), "wrong_unit",
                      "readings[1].cylinder_d", "minus-cylinder"),
    "axis beyond 180": (reading(refraction_d=..., sphere_d=-1.0, cylinder_d=-1.5, axis_deg=270),
                        "out_of_range", "readings[1].axis_deg", "Check"),
    "length drawn out negative": (haptic(drawn_out_mm=-2.7), "out_of_range", "haptic.drawn_out_mm", "Check"),
    "removed negative": (haptic(removed_mm=[-0.5, 0.0]), "out_of_range", "haptic.removed_mm[0]", "Check"),
    "length outside far negative": (reading(outside_mm=[-3.0, 1.0]), "out_of_range",
                                    "readings[1].outside_mm[0]", "Check"),
    "length in micrometres": (reading(outside_mm=[1200, 1200]), "out_of_range",
                              "readings[1].outside_mm[0]", "its unit"),
    "melt longer than what is outside": (haptic(melt_mm=3.5), "infeasible", "haptic.melt_mm", "Melt less"),
    "removed more than could be drawn out": (haptic(removed_mm=[2.5, 2.5]), "infeasible", "haptic.melt_mm",
                                             "measure again"),
    "lens position behind the retina": (
        request(axial_length_mm=15.0, belief={"lens_position_mm": {"mean": 10.0, "sd": 0.1}},
                constants={"a": 118.7, "surgeon_factor_mm": 5.0}, readings=[]),
        "no_image", "lens_position_mm", "Check the axial length and the lens constants"),
    "after a cut, the total removed left out": (
        request(readings=[{**READING, "removed_mm": [0.8, 0.8]}, {**PUSHED_IN, "removed_mm": [0, 0]}]),
        "inconsistent", "readings[1].removed_mm[0]", "enter the total so far"),
    "removed so far less than at the last reading": (
        request(readings=[{**PUSHED_IN, "removed_mm": [0.5, 0.6]}],
                haptic={"drawn_out_mm": 2.7, "removed_mm": [0.5, 0.0]}),
        "inconsistent", "haptic.removed_mm[1]", "Enter the total so far"),
    "flanged with nothing removed": (haptic(haptic_state="both_flanged"), "inconsistent",
                                     "haptic.removed_mm[0]", "Enter how much"),
    "text for a number": (request(axial_length_mm="23.5"), "wrong_type", "axial_length_mm", "digits"),
    "decimal comma": (request(target_d="-0,5"), "wrong_type", "target_d", "digits"),
    "true for a number": (request(lens_power_d=True), "wrong_type", "lens_power_d", "must be a number"),
    "text inside a pair": (reading(outside_mm=["1.2", 1.2]), "wrong_type", "readings[1].outside_mm[0]",
                           "digits"),
    "one length for two haptics": (reading(outside_mm=[1.2]), "wrong_type", "readings[1].outside_mm",
                                   "one for each haptic"),
    "a number for a list": (request(readings=3), "wrong_type", "readings", "must be a list"),
    "a list for an object": (request(haptic=[2.7]), "wrong_type", "haptic", "must be an object"),
    "nothing for the axial length": (request(axial_length_mm=None), "missing_field", "axial_length_mm",
                                     "Enter"),
    "no axial length": (request(axial_length_mm=...), "missing_field", "axial_length_mm", "Enter"),
    "no axial method": (request(axial_method=...), "missing_field", "axial_method", "Enter"),
    "one meridian": (request(k2_d=...), "missing_field", "k2_d", "Enter both"),
    "no constants": (request(constants={}), "missing_field", "constants.a", "Enter the A constant"),
    "no drawn-out length": (request(haptic={}), "missing_field", "haptic.drawn_out_mm", "Enter"),
    "no lengths at a reading": (reading(outside_mm=...), "missing_field", "readings[1].outside_mm",
                                "Measure both haptics"),
    "no refraction at a reading": (reading(refraction_d=...), "missing_field", "readings[1].refraction_d",
                                   "Enter the reading"),
    "powers and radii": (request(r1_mm=7.8, r2_mm=7.6), "inconsistent", "r1_mm", "Enter k1_d and k2_d, or"),
    "two refractions at once": (reading(sphere_d=-0.5), "inconsistent", "readings[1]", "not both"),
    "misspelt key": (request(axial_lenght_mm=23.5), "unknown_field", "axial_lenght_mm", "Known"),
    "misspelt key inside": (haptic(melt=1.0), "unknown_field", "haptic.melt", "Known"),
    "unknown instrument": (reading(instrument="telescope"), "unknown_choice", "readings[1].instrument",
                           "must be one of"),
    "air in the eye": (reading(fill="air"), "reading_refused", "readings[1].fill", "remove it first"),
    "gas in the eye": (reading(fill="gas"), "reading_refused", "readings[1].fill", "until it is gone"),
    "perfluorocarbon": (reading(fill="perfluorocarbon"), "reading_refused", "readings[1].fill", "remove"),
    "viscoelastic": (reading(fill="viscoelastic"), "reading_refused", "readings[1].fill", "wash it out"),
    "spread below zero": (request(belief={"settle_d": {"mean": 0.0, "sd": -0.2}}), "out_of_range",
                          "belief.settle_d.sd", "Enter 0 or more"),
    "movement the wrong way": (request(belief={"travel_ratio": {"mean": -0.2, "sd": 0.0}}), "out_of_range",
                               "belief.travel_ratio.mean", "Enter 0 or more"),
    "spread without end": (request(belief={"settle_d": {"mean": 0.0, "sd": 1e200}}), "out_of_range",
                           "belief.settle_d.sd", "mm or D"),
    "belief about nothing known": (request(belief={"luck": {"mean": 0, "sd": 1}}), "unknown_field",
                                   "belief.luck", "Known"),
    "twenty-five readings": (request(readings=[READING] * 25), "out_of_range", "readings", "at most 24"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused_with_the_field_named_and_what_to_do(name: str) -> None:
    payload, code, field, remedy = REFUSED[name]
    error = refused(payload)
    assert (error["code"], error["field"]) == (code, field), error
    assert remedy in error["message"]


#: name: (payload, code, field, what the message must say)
WARNED: dict[str, tuple[dict[str, Any], str, str, str]] = {
    "flat and steep swapped": (request(k1_d=44.0, k2_d=43.0), "k_swapped", "k1_d", "swapped"),
    "radii swapped": (request(k1_d=..., k2_d=..., r1_mm=7.6, r2_mm=7.8), "k_swapped", "r1_mm", "swapped"),
    "one meridian far off": (request(k1_d=39.5), "large_corneal_astigmatism", "k1_d", "Check both"),
    "axial length of another eye": (request(axial_length_mm=31.5), "unusual_value", "axial_length_mm",
                                    "Check"),
    "a length outside below zero": (reading(outside_mm=[-0.3, -0.3]), "unusual_value",
                                    "readings[1].outside_mm[0]", "Check"),
    "readings at one position only": (request(readings=[READING, READING]), "one_placement", "readings",
                                      "second position"),
    "slope against the expected sign": (reading(refraction_d=-1.4), "slope_against_sign", "readings",
                                        "Check before cutting"),
    "sign of a reading lost": (reading(refraction_d=2.9), "reading_doubtful", "readings[1]", "Repeat it"),
    "original length entered after a cut, as if nothing had been cut": (
        request(readings=[READING, {**PUSHED_IN, "outside_mm": [2.4, 2.4], "removed_mm": [1.0, 1.0]}],
                haptic={"drawn_out_mm": 2.7, "removed_mm": [1.0, 1.0]}), "length_past_taut",
        "readings[1].outside_mm", "as if nothing had been cut"),
    "pressures apart": (request(readings=[{**READING, "iop_mmhg": 8}, {**PUSHED_IN, "iop_mmhg": 25}]),
                        "iop_apart", "readings", "Repeat them at one pressure"),
    "named ends": (request(readings=[{"length_basis": "drawn_out", "refraction_d": -0.6,
                                      "instrument": "aberrometer"}, PUSHED_IN]),
                   "length_assumed", "readings", "Measure both haptics"),
    "silicone oil": (reading(fill="oil"), "reading_through_oil", "readings[1].fill", "without oil"),
    "two lengths at one placement": (
        request(readings=[{**READING, "placement": 1}, {**PUSHED_IN, "placement": 1}]),
        "placement_moved", "readings[1].placement", "placement of its own"),
    "small flange": (haptic(melt_mm=0.6), "flange_may_slip", "haptic.melt_mm", "Melt about 1.0 mm"),
    "flange not buried": (haptic(bury_mm=0.0), "flange_not_buried", "haptic.bury_mm", "Bury it"),
    "weak lens": (request(lens_power_d=5.0, axial_length_mm=28.5), "reach_too_small", "lens_power_d",
                  "one reading"),
    "minus lens": (request(lens_power_d=-4.0, axial_length_mm=33.0), "minus_lens", "lens_power_d",
                   "Check the sign"),
    "constant of another lens": (request(constants={"a": 118.7, "surgeon_factor_mm": 3.0}),
                                 "constants_disagree", "constants.surgeon_factor_mm", "belong to this lens"),
}


@pytest.mark.parametrize("name", WARNED)
def test_warned_with_the_field_named_and_what_to_do(name: str) -> None:
    payload, code, field, remedy = WARNED[name]
    warnings = warned(payload)
    assert (code, field) in warnings
    assert remedy in warnings[code, field]


def test_a_weak_lens_is_not_asked_for_a_second_position() -> None:
    payload = request(lens_power_d=5.0, axial_length_mm=28.5, readings=[READING])
    assert ("one_placement", "readings") not in warned(payload)


def test_once_flanged_a_second_position_is_not_asked_for() -> None:
    payload = request(readings=[READING], haptic={"drawn_out_mm": 2.7, "haptic_state": "both_flanged",
                                                  "removed_mm": [1.5, 1.5]})
    assert ("one_placement", "readings") not in warned(payload)


@pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity"])
def test_words_that_are_no_numbers(word: str) -> None:
    text = json.dumps({"id": 1, "operation": "advise", "payload": request()})
    answer = json.loads(handle(text.replace("23.5", word)))
    assert answer["error"]["code"] == "not_finite"
    assert word in answer["error"]["message"]


@pytest.mark.parametrize(
    ("digits", "field"), [("1e999", None), ("-1e999", None), ("9" * 400, "axial_length_mm")]
)
def test_numbers_beyond_range_are_named(digits: str, field: str | None) -> None:
    """Those with an exponent are refused while the text is read, so by what was written."""
    text = json.dumps({"id": 1, "operation": "advise", "payload": request()})
    error = json.loads(handle(text.replace("23.5", digits)))["error"]
    assert (error["code"], error["field"]) == ("not_finite", field)
    assert digits in error["message"] or field is not None


def test_digits_without_end() -> None:
    answer = json.loads(handle('{"id": 1, "operation": "describe", "payload": {"x": ' + "9" * 6000 + "}}"))
    assert answer["error"]["code"] in {"request_unreadable", "unknown_field"}


def test_ten_megabytes_of_json_are_refused_by_size() -> None:
    padded = json.dumps({"id": 1, "operation": "advise", "payload": {**request(), "x": "9" * 10_000_000}})
    answer = json.loads(handle(padded))
    assert answer["error"]["code"] == "request_too_large"
    assert "at most" in answer["error"]["message"]


def test_ten_megabytes_of_a_series_are_read() -> None:
    """The audit does read large requests: then the answer or a limit on rows, never a fall."""
    rows = [{"predicted_d": -0.5, "achieved_d": -0.375}] * 99_000
    text = json.dumps({"id": 1, "operation": "audit", "payload": {"rows": rows}})
    assert json.loads(handle(text))["value"]["n"] == 99_000
    answer = ask({"rows": rows * 2}, "audit")
    assert (answer["error"]["code"], answer["error"]["field"]) == ("out_of_range", "rows")


def test_deep_nesting() -> None:
    for opening, closing in (("[", "]"), ('{"a":', "}")):
        text = opening * 200_000 + "1" + closing * 200_000
        assert json.loads(handle(text))["error"]["code"] == "request_unreadable"


@pytest.mark.parametrize(
    "text", ["", " ", "null", "[]", "3", '"advise"', "{", '{"operation": }', "\x00", "é"]
)
def test_what_is_no_request_at_all(text: str) -> None:
    assert json.loads(handle(text))["error"]["code"] == "request_unreadable"


@pytest.mark.parametrize("operation", [None, 3, "", "advice", ["advise"], {"name": "advise"}, "__init__"])
def test_unknown_operations(operation: object) -> None:
    answer = json.loads(handle(json.dumps({"id": 1, "operation": operation, "payload": {}})))
    assert (answer["error"]["code"], answer["error"]["field"]) == ("unknown_operation", "operation")
    assert "Known" in answer["error"]["message"]


@pytest.mark.parametrize("identity", ["1e999", "-1e999", '"\\ud800"', "[1]", "{}", "true", "null"])
def test_an_odd_id_never_stops_the_answer(identity: str) -> None:
    answer = handle('{"id": ' + identity + ', "operation": "refraction", "payload": {"sphere_d": 1}}')
    answer.encode("utf-8")
    assert isinstance(json.loads(answer), dict)


@pytest.mark.parametrize("payload", [None, 3, "text", [], [request()]])
def test_payloads_that_are_no_object(payload: object) -> None:
    assert refused(payload)["code"] in {"wrong_type", "missing_field"}


EYE = {"axial_length_mm": 23.5, "k1_d": 43.0, "k2_d": 44.0, "target_d": 0.0, "constants": {"a": 118.7}}
OTHER: dict[str, tuple[str, dict[str, Any], str, str]] = {
    "power, K typed as a radius": (
        "power", {**EYE, "k1_d": 7.8, "k2_d": 7.7},
        "wrong_unit", "k1_d"),
    "power, axial length 235": (
        "power", {**EYE, "axial_length_mm": 235},
        "wrong_unit", "axial_length_mm"),
    "power, A constant of another decade": (
        "power", {**EYE, "constants": {"a": 11.87}},
        "out_of_range", "constants.a"),
    "power, target in hundredths": (
        "power", {**EYE, "target_d": -50},
        "out_of_range", "target_d"),
    "vergence power, K typed as a radius": (
        "vergence_power", {"present_refraction_d": 11.0, "target_d": 0.0, "k_d": 7.8, "lens_position_mm": 5.2,
                           "vertex_mm": 12}, "wrong_unit", "k_d"),
    "audit without rows": ("audit", {"rows": []}, "missing_field", "rows"),
    "audit, text in a row": ("audit", {"rows": [{"predicted_d": "0", "achieved_d": 0}]}, "wrong_type",
                             "rows[0].predicted_d"),
}


@pytest.mark.parametrize("name", OTHER)
def test_other_operations_name_the_field_too(name: str) -> None:
    operation, payload, code, field = OTHER[name]
    error = refused(payload, operation)
    assert (error["code"], error["field"]) == (code, field), error
    assert len(error["message"].split()) > 5
