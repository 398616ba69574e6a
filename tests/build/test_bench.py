"""The bench's arithmetic and its requests; its measuring is not a test."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from pycore.api import handle
from tests.build import refold_bench, refold_timed
from webapp.build import bench, bench_core, suite


def _answer(operation: str, payload: Any) -> Any:
    return json.loads(handle(json.dumps({"id": 1, "operation": operation, "payload": payload})))["value"]


def test_ratios_are_to_the_bare_boot_of_the_same_run() -> None:
    rows = bench.summary("webkit", {
        "bare boot": [200.0, 100.0, 300.0], "relaunch to advice": [10.0, 30.0, 20.0],
        "advice, round trip": [float(value) for value in range(1, 101)],
    })
    assert "ratio" not in rows["bare boot"]
    assert rows["relaunch to advice"]["ratio"] == pytest.approx(0.1)
    assert rows["relaunch to advice"]["wanted_ratio"] == 0.20
    assert (rows["relaunch to advice"]["least"], rows["relaunch to advice"]["most"]) == (10.0, 30.0)
    assert rows["advice, 95th percentile"]["median"] == 95.0
    assert len(bench.table(rows).splitlines()) == 5


def test_the_benched_requests_are_answered() -> None:
    assert _answer("advise", bench_core.ADVISE)["reach"]
    assert _answer("tilt", bench_core.TILT)["cylinder_d"]
    many = bench_core.many_cases(_answer("demo_cases", {})["cases"], 20)
    assert len({case["code"] for case in many}) == 20
    export = _answer("export_csv", {"cases": many, "exclude_demo": False})
    assert len(export["csv"].strip().splitlines()) == 21, export["left_out"]
    assert _answer("audit", {"rows": bench_core.rows(40)})["n"] == 40


@pytest.mark.parametrize(("arguments", "words"), [
    ([], ["-m", "webapp.build.bench"]),
    (["--rounds", "2"], ["-m", "webapp.build.bench", "--rounds", "2"]),
    (["--cohort", "--eyes", "9"], ["-m", "tests.simulation.cohort", "--eyes", "9"]),
    (["--refold"], ["-m", "tests.build.refold_bench"]),
])
def test_the_bench_is_chosen_by_its_option(arguments: list[str], words: list[str]) -> None:
    assert suite.bench_command(arguments) == words


def test_every_eye_of_the_refold_bench_teaches(tmp_path: Path) -> None:
    """The timed script itself refuses when an eye is left out."""
    eyes = tmp_path / "eyes.json"
    eyes.write_text(json.dumps(refold_bench.stored_eyes(31)), "utf-8")
    found = json.loads(refold_timed.report(str(eyes)))
    assert found["eyes"] == 30
    assert set(refold_bench.LABELS) == set(found) - {"eyes"}
    assert refold_bench.table({"machine": found, "app": found}).count("1.00") == len(refold_bench.LABELS)
