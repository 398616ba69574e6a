"""Boot and answer times in Chromium, as ratios against a bare Pyodide boot in the same run.

Seconds differ from machine to machine; a ratio taken in one run, the two kinds of boot in
turn, is steadier. Results go to the terminal as a table and to ``.cache/bench.json``.
"""

from __future__ import annotations

import argparse
import json
import shutil
import statistics
import sys
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from . import assemble, browser
from .paths import CACHE
from .progress import say
from .serve import Running
from .wheels import pyodide_folder

RESULT = CACHE / "bench.json"
BARE_FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json")
BARE_PAGE = '<!doctype html><meta charset="utf-8"><title>bare</title>'
# An eye with two readings, invented for this bench.
ADVISE = {
    "axial_length_mm": 23.6, "k1_d": 43.0, "k2_d": 44.0, "axial_method": "optical",
    "formula": "holladay1", "constants": {"a": 118.7}, "lens_power_d": 21.0, "target_d": -0.5,
    "readings": [
        {"outside_mm": [2.5, 2.5], "refraction_d": -1.9, "instrument": "aberrometer"},
        {"outside_mm": [1.0, 1.0], "refraction_d": -0.7, "instrument": "aberrometer"},
    ],
    "haptic": {"drawn_out_mm": 2.5},
}

BARE_BOOT = """async () => {
  const source = `onmessage = async ({ data }) => {
    const { loadPyodide } = await import(data + "pyodide.mjs");
    const python = await loadPyodide({ indexURL: data, enableRunUntilComplete: false });
    python.runPython("1 + 1");
    postMessage("ready");
  };`;
  const url = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
  const start = performance.now();
  const worker = new Worker(url, { type: "module" });
  await new Promise((resolve, reject) => {
    worker.onmessage = resolve;
    worker.onerror = reject;
    worker.postMessage(new URL("bare/", location.href).href);
  });
  worker.terminate();
  return performance.now() - start;
}"""

OWN_BOOT = """async ([operation, payload]) => {
  const { ask, startCore } = await import(new URL("worker/client.js", document.baseURI).href);
  const start = performance.now();
  startCore();
  await ask(operation, payload);
  return performance.now() - start;
}"""

ROUND_TRIP = """async ([operation, payload]) => {
  const { ask } = await import(new URL("worker/client.js", document.baseURI).href);
  const start = performance.now();
  await ask(operation, payload);
  return performance.now() - start;
}"""


def _folder(target: Path) -> Path:
    """The app, and beside it the untouched Pyodide."""
    assemble.build(target)
    (target / "bare").mkdir()
    for name in BARE_FILES:
        shutil.copyfile(pyodide_folder() / name, target / "bare" / name)
    (target / "bare.html").write_text(BARE_PAGE)
    return target


@contextmanager
def _pages() -> Any:
    """(page of the app, page for the bare boot), both without a service worker."""
    from playwright.sync_api import sync_playwright

    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        running = Running(_folder(Path(folder) / "dist"))
        chromium = playwright.chromium.launch(executable_path=browser.find(), args=list(browser.FLAGS))
        context = chromium.new_context(service_workers="block", bypass_csp=True)
        own, bare = context.new_page(), context.new_page()
        own.goto(running.address)
        bare.goto(running.address + "bare.html")
        yield own, bare
        chromium.close()
        running.stop()


def measure(rounds: int) -> dict[str, list[float]]:
    """Milliseconds of each kind, the kinds taken in turn; one round is warm-up."""
    found: dict[str, list[float]] = {"bare_boot": [], "boot_to_first_answer": [], "advise": []}
    with _pages() as (own, bare):
        kinds: dict[str, Callable[[], float]] = {
            "bare_boot": lambda: float(bare.evaluate(BARE_BOOT)),
            "boot_to_first_answer": lambda: float(own.evaluate(OWN_BOOT, ["advise", ADVISE])),
            "advise": lambda: float(own.evaluate(ROUND_TRIP, ["advise", ADVISE])),
        }
        for turn in range(rounds + 1):
            for name, action in kinds.items():
                value = action()
                if turn:
                    found[name].append(value)
    return found


def summary(found: dict[str, list[float]]) -> dict[str, dict[str, float]]:
    """Median, spread and ratio to the bare boot."""
    bare = statistics.median(found["bare_boot"])
    return {name: {"median_ms": statistics.median(values), "least_ms": min(values),
                   "most_ms": max(values), "ratio_to_bare_boot": statistics.median(values) / bare}
            for name, values in found.items()}


def table(rows: dict[str, dict[str, float]]) -> str:
    """The summary for a terminal."""
    lines = [f"{'':24}{'median ms':>10}{'least':>9}{'most':>9}{'ratio':>8}"]
    for name, row in rows.items():
        lines.append(f"{name:24}{row['median_ms']:10.1f}{row['least_ms']:9.1f}{row['most_ms']:9.1f}"
                     f"{row['ratio_to_bare_boot']:8.3f}")
    return "\n".join(lines)


def main() -> int:
    """Measure, print, and keep the figures."""
    parser = argparse.ArgumentParser(prog="build.py bench")
    parser.add_argument("--rounds", type=int, default=5, help="measured rounds of each kind")
    options = parser.parse_args()
    say(f"{options.rounds} rounds in Chromium")
    rows = summary(measure(max(1, options.rounds)))
    RESULT.parent.mkdir(parents=True, exist_ok=True)
    RESULT.write_text(json.dumps(rows, indent=1) + "\n")
    print(table(rows))
    return 0


if __name__ == "__main__":
    sys.exit(main())
