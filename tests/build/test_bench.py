"""The bench's arithmetic; its measuring is not a test."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pycore.api import handle
from tests.build import refold_bench, refold_timed
from webapp.build import bench, suite


def test_ratios_are_to_the_bare_boot_of_the_same_run() -> None:
    rows = bench.summary({"bare_boot": [200.0, 100.0, 300.0], "advise": [10.0, 30.0, 20.0]})
    assert rows["bare_boot"]["ratio_to_bare_boot"] == 1.0
    assert rows["advise"]["ratio_to_bare_boot"] == pytest.approx(0.1)
    assert (rows["advise"]["least_ms"], rows["advise"]["most_ms"]) == (10.0, 30.0)
    assert len(bench.table(rows).splitlines()) == 3


def test_the_benched_request_is_answered() -> None:
    answer = json.loads(handle(json.dumps({"id": 1, "operation": "advise", "payload": bench.ADVISE})))
    assert answer["value"]["reach"]


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
