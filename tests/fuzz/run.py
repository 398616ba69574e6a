"""One bounded run over every target, and what came of it."""

from __future__ import annotations

import json
import random
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from tests import generators
from tests.fuzz.core_targets import TARGETS, Broken, Rejected, Target, pool
from tests.fuzz.watch import TooSlow, Watch, within
from webapp.build import npm

PAGE = Path(__file__).with_name("page_targets.mjs")
#: Shares of the page's readers; the core's are beside its targets.
NUMBERS, BACKUPS = 0.10, 0.10
SECONDS_EACH = 20.0
WATCH = Watch()


@dataclass
class Report:
    """Inputs by target, and what may not be."""

    inputs: Counter[str] = field(default_factory=Counter)
    rejected: Counter[str] = field(default_factory=Counter)
    crashes: list[str] = field(default_factory=list)
    changes: list[str] = field(default_factory=list)
    foreign: list[str] = field(default_factory=list)
    seconds: float = 0.0

    @property
    def clean(self) -> bool:
        return not (self.crashes or self.changes or self.foreign)


def fuzz(inputs: int, seed: int, *, seconds: float = 3600.0) -> Report:
    """Give ``inputs`` damaged inputs to everything that reads; stops early after ``seconds``."""
    started, report = time.monotonic(), Report()
    _page(report, round(inputs * NUMBERS), round(inputs * BACKUPS), seed, seconds)
    for name in generators.operations():
        pool(name)
    for target in TARGETS:
        source = random.Random(f"{seed} {target.name}")
        for _ in range(round(inputs * target.share)):
            if time.monotonic() - started > seconds:
                break
            _one(target, source, report)
    report.seconds = time.monotonic() - started
    report.foreign += WATCH.foreign
    report.changes += WATCH.written
    return report


def _one(target: Target, source: random.Random, report: Report) -> None:
    state = source.getstate()
    report.inputs[target.name] += 1
    try:
        with WATCH.counting(), within(SECONDS_EACH):
            target.run(source)
    except Rejected:
        report.rejected[target.name] += 1
    except Broken as reason:
        report.changes.append(f"{target.name}: {reason}")
    except (TooSlow, Exception) as reason:
        report.crashes.append(f"{target.name}: {type(reason).__name__}: {reason} (state {hash(state) & 0xFFFFFF:x})"[:400])


def _page(report: Report, numbers: int, backups: int, seed: int, seconds: float) -> None:
    npm.install()
    done = subprocess.run([str(npm.node()), str(PAGE), str(seed), str(numbers), str(backups)], text=True,
                          capture_output=True, timeout=seconds, check=False)
    if done.returncode != 0:
        report.crashes.append(f"the page's readers ended: {done.stderr[-300:]}")
        return
    counts = json.loads(done.stdout)
    report.inputs.update({"number fields": counts["numbers"], "backups": counts["backups"]})
    report.rejected["number fields and backups"] = counts["rejected"]
    report.crashes += counts["crashes"]
    report.changes += counts["changes"]
    report.foreign += counts["foreign"]


def printed(report: Report, seed: int) -> str:
    """The table that the command prints."""
    rows = [f"{name:20} {count:8d}" for name, count in report.inputs.items()]
    found = [f"  {kind}: {text}" for kind in ("crashes", "changes", "foreign") for text in getattr(report, kind)[:20]]
    return "\n".join([
        f"seed {seed}, Python {sys.version.split()[0]}, {report.seconds:.0f} s", *rows,
        f"{'all inputs':20} {report.inputs.total():8d}, rejected by name {report.rejected.total()}",
        (f"crashes {len(report.crashes)}, changes by rejected input {len(report.changes)}, "
         f"requests elsewhere {len(report.foreign)}"), *found])
