"""The bench's arithmetic; its measuring is not a test."""

from __future__ import annotations

import json

import pytest

from pycore.api import handle
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
])
def test_the_bench_is_chosen_by_its_option(arguments: list[str], words: list[str]) -> None:
    assert suite.bench_command(arguments) == words
