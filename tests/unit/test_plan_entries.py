"""The plan of both entries and operation ``entries``: numbers, cautions, refusals."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.errors import GuylineError, Inconsistent, MissingField, OutOfRange
from pycore.fixation.entries import plan_entries

BASIC: dict[str, Any] = {
    "limbus_horizontal_mm": 11.8, "limbus_vertical_mm": 11.0, "meridian_deg": 20, "entry_mm": [2.0, 2.0],
}  # fmt: skip


def ask(**changes: Any) -> dict[str, Any]:
    return answer("entries", {**BASIC, **changes})


def codes(answered: dict[str, Any]) -> set[str]:
    return {warning["code"] for warning in answered["warnings"]}


def test_equal_entries_at_two_and_eight() -> None:
    answered = ask()
    value = answered["value"]
    assert (value["a"]["clock"], value["b"]["clock"]) == ("2:30", "8:30")
    assert value["symmetric"] is True
    assert value["expected_outside_mm"] is None
    assert value["a"]["x_mm"] == pytest.approx(-value["b"]["x_mm"])
    assert value["a"]["y_mm"] > 0 > value["b"]["y_mm"]
    assert codes(answered) == set()


def test_meridian_180_is_read_as_0() -> None:
    flat, turned = ask(meridian_deg=0)["value"], ask(meridian_deg=180)["value"]
    assert flat == turned
    assert (flat["a"]["clock"], flat["b"]["clock"]) == ("3", "9")


@pytest.mark.parametrize(
    ("meridian", "expected"),
    [(0, {"three_nine_oclock"}), (15, {"three_nine_oclock"}), (16, set()), (45, set()), (59, set()),
     (60, {"superior_surgery"}), (90, {"superior_surgery"}), (121, set()), (164, set()),
     (165, {"three_nine_oclock"}), (180, {"three_nine_oclock"})],
)  # fmt: skip
def test_cautions_by_meridian(meridian: float, expected: set[str]) -> None:
    assert codes(ask(meridian_deg=meridian)) == expected


def test_unequal_entries_are_named_with_their_side() -> None:
    answered = ask(entry_mm=[2.0, 2.5])
    assert answered["value"]["symmetric"] is False
    assert answered["value"]["radius_difference_mm"] < 0
    (warning,) = answered["warnings"]
    assert warning["code"] == "entries_not_symmetric"
    assert "toward 8:30" in warning["message"]


def test_the_shorter_tunnel_pushes_the_optic_to_the_other_side() -> None:
    (warning,) = ask(tunnel_mm=[1.0, 2.0])["warnings"]
    assert warning["code"] == "tunnels_unequal"
    assert "at 2:30 is the shorter" in warning["message"]
    assert "toward 8:30" in warning["message"]
    assert codes(ask(tunnel_mm=[2.0, 2.0])) == set()


def test_a_measured_haptic_gives_the_length_outside() -> None:
    answered = ask(haptic_length_mm=7.0)
    side = answered["value"]["a"]
    assert side["expected_outside_mm"] == pytest.approx(7.0 - (side["radius_mm"] - 3.0))
    assert answered["value"]["expected_outside_mm"] == pytest.approx(side["expected_outside_mm"])
    assert codes(answered) == set()


def test_a_measured_haptic_wins_over_the_overall_length() -> None:
    both = ask(haptic_length_mm=7.0, lens_length_mm=13.0)
    assert both["value"] == ask(haptic_length_mm=7.0)["value"]
    assert codes(ask(lens_length_mm=13.0)) == {"haptic_length_estimated"}


def test_a_short_haptic_is_named_on_each_side() -> None:
    answered = ask(haptic_length_mm=5.5)
    assert [warning["code"] for warning in answered["warnings"]] == ["haptic_short", "haptic_short"]
    assert "about 1.0 mm" in answered["warnings"][0]["message"]
    assert "need 1.5 mm" in answered["warnings"][0]["message"]


def test_the_melt_decides_what_is_short() -> None:
    outside = ask(haptic_length_mm=7.0)["value"]["expected_outside_mm"]
    assert 2.0 < outside < 2.5
    assert "haptic_short" not in codes(ask(haptic_length_mm=7.0, melt_mm=1.5))
    assert "haptic_short" in codes(ask(haptic_length_mm=7.0, melt_mm=2.0))


def test_a_haptic_that_ends_inside_the_eye_says_so() -> None:
    messages = [w["message"] for w in ask(haptic_length_mm=4.0)["warnings"] if w["code"] == "haptic_short"]
    assert "inside the eye" in messages[0]
    assert "-" not in messages[0]


@pytest.mark.parametrize(
    ("changes", "error", "field"),
    [({"entry_mm": [2.0, None]}, GuylineError, "entry_mm[1]"),
     ({"limbus_vertical_mm": None}, MissingField, "limbus_vertical_mm"),
     ({"meridian_deg": 190}, OutOfRange, "meridian_deg"),
     ({"lens_length_mm": 8.0, "optic_diameter_mm": 8.0}, Inconsistent, "lens_length_mm")],
)  # fmt: skip
def test_refusals_name_the_field(changes: dict[str, Any], error: type[GuylineError], field: str) -> None:
    with pytest.raises(error) as raised:
        ask(**changes)
    assert raised.value.field == field


def test_the_plain_function_and_the_operation_agree() -> None:
    plan = plan_entries(**{**BASIC, "entry_mm": (2.0, 2.0)}, lens_length_mm=13.0)
    value = ask(lens_length_mm=13.0)["value"]
    assert plan.expected_outside_mm == value["expected_outside_mm"]
    assert plan.a.point.depth_mm == value["a"]["depth_mm"]
