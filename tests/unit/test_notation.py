"""Notation: order and words change, values never do."""

from __future__ import annotations

from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.api.shown_as import another_notation, cornea_otherwise
from tests.records.sample import sample

MINUS = "\N{MINUS SIGN}"
PLUS_SET = {"cylinder_notation": "plus"}


def _refraction(**request: Any) -> dict[str, Any]:
    found: dict[str, Any] = answer("refraction", request)
    return found


def test_both_forms_stand_in_the_order_that_is_set() -> None:
    given = {"sphere_d": -2.0, "cylinder_d": 1.5, "axis_deg": 30}
    minus = f"{MINUS}0.50 D {MINUS}1.50 D × 120°"
    plus = f"{MINUS}2.00 D +1.50 D × 030°"
    assert [one["text"] for one in _refraction(**given)["value"]["forms"]] == [minus, plus]
    assert [one["text"] for one in _refraction(**given, shown_as=PLUS_SET)["value"]["forms"]] == [plus, minus]


@pytest.mark.parametrize("cylinder_d", [-1.5, 1.5, 0.0])
def test_no_number_depends_on_the_notation(cylinder_d: float) -> None:
    given = {"sphere_d": -2.0, "cylinder_d": cylinder_d, "axis_deg": 30}
    one, other = (_refraction(**given, shown_as={"cylinder_notation": name})["value"] for name in ("minus", "plus"))
    one.pop("forms"), other.pop("forms")
    assert one == other


@pytest.mark.parametrize(("cylinder_d", "notation", "said"), [
    (1.5, "minus", True), (-1.5, "plus", True), (-1.5, "minus", False), (1.5, "plus", False), (0.0, "plus", False),
])
def test_a_cylinder_in_the_other_notation_is_said(cylinder_d: float, notation: str, said: bool) -> None:
    assert (another_notation(cylinder_d, notation) is not None) == said
    shown = {"cylinder_notation": notation}
    warnings = _refraction(sphere_d=0.5, cylinder_d=cylinder_d, axis_deg=90, shown_as=shown)["warnings"]
    assert [one["code"] for one in warnings] == (["other_notation"] if said else [])


@pytest.mark.parametrize(("first", "shown"), [
    ("metre", "6/12 · 20/40 · 0.5 · logMAR 0.30"), ("feet", "20/40 · 6/12 · 0.5 · logMAR 0.30"),
    ("decimal", "0.5 · 6/12 · 20/40 · logMAR 0.30"), ("logmar", "logMAR 0.30 · 6/12 · 20/40 · 0.5"),
])
def test_the_acuity_that_is_set_stands_first_and_all_others_follow(first: str, shown: str) -> None:
    value = answer("acuity", {"text": "6/12", "shown_as": {"acuity_first": first}})["value"]
    assert (value["shown"], value["logmar"]) == (shown, pytest.approx(0.3))


def test_a_plain_acuity_is_asked_about_whatever_is_set() -> None:
    value = answer("acuity", {"text": "0.1", "shown_as": {"acuity_first": "decimal"}})["value"]
    assert (value["state"], value["logmar"]) == ("ask", None)


def test_the_cornea_stands_in_the_other_unit_with_its_index() -> None:
    """7.5 mm is 45.0 D with index 1.3375, the keratometer's definition."""
    none = dict.fromkeys(("k1_d", "k2_d", "r1_mm", "r2_mm"))
    powers = cornea_otherwise({**none, "k_unit": "d", "k1_d": 45.0, "r1_mm": 7.0})
    assert powers == {"measurements.k1_d": "= 7.50 mm with index 1.3375"}
    radii = cornea_otherwise({**none, "k_unit": "mm", "r1_mm": 7.5, "r2_mm": 7.5})
    assert set(radii.values()) == {"= 45.00 D with index 1.3375"}
    assert cornea_otherwise({**none, "k_unit": None, "k1_d": 45.0}) == {}


def test_a_visit_and_a_note_follow_the_notation_and_the_record_stays() -> None:
    case = sample()
    asked = {"case": case, "today": "2027-01-01"}
    plain, plus = (answer("follow_up_case", {**asked, **extra})["value"]
                   for extra in ({}, {"shown_as": {**PLUS_SET, "acuity_first": "logmar"}}))
    turned = [(one["forms"], other["forms"]) for one, other in
              zip(plain["visits"], plus["visits"], strict=True) if one["forms"]]
    assert turned
    assert all(other == list(reversed(one)) for one, other in turned)
    assert [one["se_d"] for one in plain["visits"]] == [one["se_d"] for one in plus["visits"]]
    assert any("plus-cylinder notation" in (one["words"] or "") for one in plus["visits"])
    assert case == sample()
