"""The paper grid: two readings to a cut, checked against the advice it stands in for."""

from __future__ import annotations

import json
from typing import Any

import pytest

from pycore.api import handle
from pycore.planning.paper_grid import on_callipers_mm
from tests.unit.test_case_answers import eye, read_back, reading

DRAWN_OUT_MM, PUSHED_IN_MM = 2.5, 1.0


def sheet(case: dict[str, Any], **other: Any) -> dict[str, Any]:
    request = {"id": 1, "operation": "sheet_case", "payload": {"case": case, **other}}
    return json.loads(handle(json.dumps(request)))["value"]


def advice(case: dict[str, Any], drawn_out_d: float, pushed_in_d: float) -> dict[str, Any]:
    """What the theatre screen says after the same two readings at the named ends."""
    named = [
        reading(1, DRAWN_OUT_MM, drawn_out_d, length_basis="drawn_out", placement=0),
        reading(2, PUSHED_IN_MM, pushed_in_d, length_basis="pushed_in", placement=1),
    ]
    request = {"id": 1, "operation": "theatre_case", "payload": {"case": {**read_back(case), "readings": named}}}
    return json.loads(handle(json.dumps(request)))["value"]["advice"]


def dioptres(text: str) -> float:
    return float(text.replace("\N{MINUS SIGN}", "-").removesuffix(" D"))


@pytest.mark.parametrize(("row", "column"), [(6, 6), (3, 9), (9, 9), (12, 12), (0, 0), (0, 12), (10, 6)])
def test_a_cell_is_the_advice_on_screen_for_the_same_readings(row: int, column: int) -> None:
    case = eye()
    grid = sheet(case)["grid"]
    cell = grid["rows"][row]["cells"][column]
    said = advice(case, dioptres(grid["rows"][row]["reading"]), dioptres(grid["columns"][column]))
    if cell["status"] == "read_again":
        assert max(said["gross"]) > 0.2
    elif cell["status"] == "cut":
        assert not said["no_useful_adjustment"]
        assert 0.0 <= min(said["cut_mm"]) - float(cell["text"]) + 0.1 < 0.5
    else:
        assert said["no_useful_adjustment"]


def test_the_grid_is_centred_on_the_readings_the_plan_predicts() -> None:
    """Drawn out is the more myopic edge; the middle row and column lie within half a step."""
    grid = sheet(eye())["grid"]
    rows = [dioptres(row["reading"]) for row in grid["rows"]]
    columns = [dioptres(text) for text in grid["columns"]]
    assert len(rows) == len(columns) == 13
    assert rows == sorted(rows)
    assert columns == sorted(columns)
    assert rows[6] < columns[6]


def test_more_hyperopic_readings_never_call_for_less_cut() -> None:
    """More cut, lens further forward, more myopic: along the diagonal cuts only grow."""
    grid = sheet(eye())["grid"]
    along = [row["cells"][place] for place, row in enumerate(grid["rows"])]
    cuts = [float(cell["text"]) for cell in along if cell["status"] == "cut"]
    assert len(cuts) >= 3
    assert cuts == sorted(cuts)


@pytest.mark.parametrize(
    ("cut_mm", "marked"),
    [(1.0, 1.0), (1.39, 1.0), (1.41, 1.5), (1.5, 1.5), (1.89, 1.5), (0.05, 0.0), (0.42, 0.5)],
)
def test_a_cut_between_two_marks_is_the_smaller_one(cut_mm: float, marked: float) -> None:
    assert on_callipers_mm((cut_mm, cut_mm + 0.3)) == pytest.approx(marked)


def test_a_plan_that_cannot_be_read_back_has_no_sheet() -> None:
    case = eye()
    case["plan"]["meridian_deg"] = None
    found = sheet(case)
    assert not found["ready"]
    assert found["missing"][0]["path"] == "plan.meridian_deg"
    assert found["grid"] is None


def test_the_sheet_says_when_it_is_void_and_which_way_a_cut_goes() -> None:
    found = sheet(eye(), rows=1, columns=1, instrument="retinoscope")
    assert "the grid is void" in found["grid"]["how"][-1]
    assert found["grid"]["lever"].endswith("more myopic")
    assert found["grid"]["instrument"] == "Retinoscope"
    assert [line["label"] for line in found["readback"]][:2] == ["Case code", "Eye"]
