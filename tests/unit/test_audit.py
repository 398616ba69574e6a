"""The ``audit`` operation on small and awkward series."""

from __future__ import annotations

import pytest

from pycore.api.boundary import answer
from pycore.audit.intervals import wilson
from pycore.audit.statistics import median, prediction_error_d, share_within, summarise
from pycore.errors import GuylineError, MissingField, OutOfRange, WrongType


def _rows(*pairs: tuple[float, float]) -> dict[str, object]:
    return {"rows": [{"predicted_d": predicted, "achieved_d": achieved} for predicted, achieved in pairs]}


def test_error_is_achieved_minus_predicted() -> None:
    """More myopic than predicted is negative."""
    assert prediction_error_d(predicted_d=-0.5, achieved_d=-1.0) == -0.5
    assert answer("audit", _rows((-0.5, -1.0)))["value"]["mean_d"] == -0.5


def test_series_worked_by_hand() -> None:
    """Errors -1, 0, 0.5, 0.5: mean 0, squares sum to 1.5."""
    value = answer("audit", _rows((0, -1.0), (0, 0.0), (-1, -0.5), (0.25, 0.75)))["value"]
    assert value["n"] == 4
    assert value["mean_d"] == 0.0
    assert value["sd_d"] == pytest.approx((1.5 / 3) ** 0.5)
    assert value["mae_d"] == 0.5
    assert value["medae_d"] == 0.5
    assert value["rmse_d"] == pytest.approx((1.5 / 4) ** 0.5)
    counts = {key: value[key]["count"] for key in ("within_025", "within_050", "within_075", "within_100")}
    assert counts == {"within_025": 1, "within_050": 3, "within_075": 3, "within_100": 4}
    assert set(value["within_050"]) == {"fraction", "low95", "high95", "count"}
    assert value["within_050"]["fraction"] == 0.75


def test_one_eye_has_no_spread() -> None:
    value = answer("audit", _rows((0.0, 0.25)))["value"]
    assert value["sd_d"] is None
    assert (value["n"], value["mean_d"], value["medae_d"]) == (1, 0.25, 0.25)


def test_no_eye_is_a_named_error() -> None:
    with pytest.raises(MissingField) as caught:
        answer("audit", {"rows": []})
    assert caught.value.field == "rows"


def test_small_series_is_warned_about() -> None:
    small = answer("audit", _rows(*[(0.0, 0.1)] * 29))["warnings"]
    assert [entry["code"] for entry in small] == ["small_series"]
    assert answer("audit", _rows(*[(0.0, 0.1)] * 30))["warnings"] == []


def test_limits_are_inclusive_whatever_the_decimals() -> None:
    """0.1 + 0.4 and 1.15 - 0.65 are both half a dioptre to a reader."""
    assert 1.15 - 0.65 != 0.5
    assert share_within([1.15 - 0.65, 0.1 + 0.4, -0.5], 0.5).count == 3
    assert share_within([0.500001, -0.500001], 0.5).count == 0


@pytest.mark.parametrize(("key", "limit"), [
    ("within_025", 0.25), ("within_050", 0.5), ("within_075", 0.75), ("within_100", 1.0),
])
def test_each_share_ends_at_its_limit(key: str, limit: float) -> None:
    inside, outside = summarise([limit, -limit]), summarise([limit + 0.001, -limit - 0.001])
    assert inside.within[key].count == 2
    assert outside.within[key].count == 0


def test_two_eyes_have_a_spread() -> None:
    """Errors 0.25 and 0.75: mean 0.5, SD 0.5 / sqrt 2."""
    assert summarise([0.25, 0.75]).sd_d == pytest.approx(0.5 / 2**0.5)


@pytest.mark.parametrize(("rows", "kind", "field"), [
    ([{"predicted_d": 0.0}], MissingField, "rows[0].achieved_d"),
    ([{"predicted_d": 0.0, "achieved_d": "0"}], WrongType, "rows[0].achieved_d"),
    ([{"predicted_d": 0.0, "achieved_d": 41.0}], OutOfRange, "rows[0].achieved_d"),
    ({"predicted_d": 0.0}, WrongType, "rows"),
])
def test_errors_name_the_row(rows: object, kind: type[GuylineError], field: str) -> None:
    with pytest.raises(kind) as caught:
        answer("audit", {"rows": rows})
    assert caught.value.field == field


@pytest.mark.parametrize(("count", "n"), [(0, 0), (-1, 3), (4, 3)])
def test_interval_refuses_impossible_counts(count: int, n: int) -> None:
    with pytest.raises(OutOfRange):
        wilson(count, n)


def test_statistics_need_a_value() -> None:
    for function in (summarise, median):
        with pytest.raises(MissingField):
            function([])


def test_median_of_an_even_series_is_between_the_middle_two() -> None:
    assert median([4.0, 1.0, 2.0, 10.0]) == 3.0
