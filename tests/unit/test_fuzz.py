"""The short run over everything that reads, and that the long one can fail."""

from __future__ import annotations

import random
import socket
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.fuzz import run
from tests.fuzz.core_targets import Broken, Rejected, Target
from tests.fuzz.run import Report, fuzz, printed
from tests.fuzz.watch import TooSlow, Watch, within


def test_a_short_run_finds_nothing() -> None:
    report = fuzz(1500, seed=3, seconds=120)
    assert report.clean, printed(report, 3)
    assert report.inputs.total() > 1400
    assert min(report.inputs.values()) > 30


def test_the_same_seed_gives_the_same_inputs() -> None:
    drawn = [fuzz(200, seed=4, seconds=120).rejected for _ in range(2)]
    assert drawn[0] == drawn[1]


@pytest.mark.parametrize(("action", "kind"), [
    (lambda _: int("x"), "crashes"),
    (lambda _: (_ for _ in ()).throw(Broken("changed")), "changes"),
    (lambda _: (_ for _ in ()).throw(Rejected("by name")), "rejected"),
])
def test_what_goes_wrong_is_counted(action: Callable[[random.Random], None], kind: str) -> None:
    report = Report()
    run._one(Target("one", 1.0, action), random.Random(1), report)
    assert {name for name in ("crashes", "changes", "foreign", "rejected") if getattr(report, name)} == {kind}


def test_requests_elsewhere_and_written_files_are_seen(tmp_path: Path) -> None:
    watch = Watch()
    (tmp_path / "before").write_text("not counted yet")
    with watch.counting():
        with pytest.raises(OSError), socket.socket() as made:
            made.connect(("127.0.0.1", 9))
        (tmp_path / "inside").write_text("x")
        (tmp_path / "inside").read_text()
    assert [text.split()[0] for text in watch.foreign] == ["socket.connect"]
    assert len(watch.written) == 1


def test_what_hangs_is_ended() -> None:
    with pytest.raises(TooSlow), within(0.05):
        time.sleep(5)
