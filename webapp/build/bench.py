"""Start and answer times, as ratios against bare Pyodide in the same browser in the same run.

Seconds differ from machine to machine; a ratio taken in one run, the kinds in turn, is
steadier. Results go to the terminal as a table and to ``.cache/bench.json``; they are judged by
people, never by a test.
"""

from __future__ import annotations

import argparse
import gzip
import json
import math
import statistics
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from . import bench_core, bench_pages, bench_scripts, npm, webdriver
from .bench_pages import Page
from .paths import CACHE
from .progress import say
from .serve import Running

RESULT = CACHE / "bench.json"
LEAST_ROUNDS = 7
# Counted apart: nothing before the first DICOM file waits for them.
DICOM_WHEELS = ("micropip-", "pydicom-")
# What each figure is divided by, and the wanted value: of the ratio, or of the figure itself.
RATIOS: dict[str, tuple[str, float, float]] = {
    "relaunch to advice": ("bare boot", 0.15, 0.20),
    "relaunch to eyes shown": ("bare boot", 0.10, 0.10),
    "first launch to advice": ("bare boot and numpy", 0.50, 0.50),
    "relaunch to numpy": ("bare boot and numpy", 0.50, 0.50),
}
MOST_MS = {
    "advice, round trip": 5.0, "advice, 95th percentile": 15.0, "plan, round trip": 30.0,
    "tilt, round trip": 40.0, "results of 10000 eyes": 1500.0, "export of 10000 eyes": 3000.0,
    "refold of 1000 eyes": 1000.0, "longest frame of 10000 eyes": 50.0,
}
Found = dict[str, list[float]]


def measure(engine: str, rounds: int, own: Running, bare: Running) -> Found:
    """Figures of each kind, the kinds taken in turn; one round is warm-up."""
    found: Found = {}
    with bench_pages.ENGINES[engine]() as page:
        cases = _prepare(page, own)
        for turn in range(rounds + 1):
            say(f"{engine}: round {turn} of {rounds}" + ("" if turn else " (warm-up)"))
            for name, values in _round(page, own, bare, cases).items():
                if turn:
                    found.setdefault(name, []).extend(values)
        found |= _large(page, cases)
    return found


def _prepare(page: Page, own: Running) -> list[dict[str, Any]]:
    """The app kept on the device, with the demo eyes in it."""
    page.goto(own.address)
    page.evaluate(bench_scripts.KEPT)
    cases: list[dict[str, Any]] = page.evaluate(bench_scripts.STORE_DEMO)
    return cases


def _round(page: Page, own: Running, bare: Running, cases: Sequence[dict[str, Any]]) -> Found:
    page.goto(bare.address)
    plain = page.evaluate(bench_scripts.BARE)
    page.goto(own.address)
    page.evaluate(bench_scripts.FORGET)
    page.reload()
    first = page.evaluate(bench_scripts.START, "advise", bench_core.ADVISE)
    page.evaluate(bench_scripts.KEPT)
    page.evaluate(bench_scripts.SNAPSHOT)
    page.reload()
    again = page.evaluate(bench_scripts.START, "advise", bench_core.ADVISE)
    return {
        "bare boot": [plain["booted"]],
        "bare boot and numpy": [plain["numpy"]],
        "first launch to advice": [first["advice"]],
        "relaunch to eyes shown": [again["eyes"]],
        "relaunch to advice": [again["advice"]],
        "relaunch to numpy": [again["numpy"]],
        "relaunch from memory (1 = yes)": [float(again["from"] == "snapshot")],
        "heap with numpy, MB": [(again["heap"] or math.nan) / 1e6],
        **{f"step of the relaunch: {name}": [value] for name, value in again["steps"].items()},
        **_trips(page, cases),
    }


def _trips(page: Page, cases: Sequence[dict[str, Any]]) -> Found:
    planned = {"case": cases[0]}
    return {
        "advice, round trip": page.evaluate(bench_scripts.ROUND_TRIPS, "advise", bench_core.ADVISE, 30),
        "plan, round trip": page.evaluate(bench_scripts.ROUND_TRIPS, "plan_case", planned, 7),
        "tilt, round trip": page.evaluate(bench_scripts.ROUND_TRIPS, "tilt", bench_core.TILT, 7),
    }


def _large(page: Page, cases: Sequence[dict[str, Any]]) -> Found:
    """Long series: each three times, as they take seconds."""
    many = bench_core.many_cases(cases, 10_000)
    asked = {
        "results of 10000 eyes": ("audit", {"rows": bench_core.rows(10_000)}),
        "export of 10000 eyes": ("export_csv", {"cases": many, "exclude_demo": False}),
        "refold of 1000 eyes": ("learn", {"cases": many[:1000]}),
    }
    found: Found = {name: page.evaluate(bench_scripts.ROUND_TRIPS, *request, 3)
                    for name, request in asked.items()}
    found["longest frame of 10000 eyes"] = [page.evaluate(bench_scripts.SCROLL, 10_000) for _ in range(3)]
    return found


def summary(engine: str, found: Mapping[str, Sequence[float]]) -> dict[str, dict[str, float]]:
    """Median, spread, ratio to its base and the wanted value."""
    medians = {name: statistics.median(values) for name, values in found.items()}
    trips = found.get("advice, round trip")
    rows = {name: {"median": medians[name], "least": min(values), "most": max(values), "n": len(values)}
            for name, values in found.items()}
    if trips:
        p95 = sorted(trips)[math.ceil(0.95 * len(trips)) - 1]
        rows["advice, 95th percentile"] = {"median": p95, "least": p95, "most": p95, "n": len(trips)}
    for name, row in rows.items():
        row |= _wanted(engine, name, medians)
    return rows


def _wanted(engine: str, name: str, medians: Mapping[str, float]) -> dict[str, float]:
    if name in RATIOS:
        base, on_chromium, on_webkit = RATIOS[name]
        wanted = on_webkit if engine == "webkit" else on_chromium
        return {"ratio": medians[name] / medians[base], "wanted_ratio": wanted}
    return {"wanted": MOST_MS[name]} if name in MOST_MS else {}


def table(rows: Mapping[str, Mapping[str, float]]) -> str:
    """The summary for a terminal."""
    lines = [f"{'':34}{'median':>11}{'least':>11}{'most':>11}{'n':>5}{'ratio':>8}{'wanted':>9}"]
    for name, row in rows.items():
        ratio = f"{row['ratio']:8.3f}" if "ratio" in row else " " * 8
        wanted = row.get("wanted_ratio", row.get("wanted"))
        shown = f"{wanted:9g}" if wanted is not None else ""
        figures = "".join(f"{row[key]:11.2f}" for key in ("median", "least", "most"))
        lines.append(f"{name:34}{figures}{row['n']:5g}{ratio}{shown}".rstrip())
    return "\n".join(lines)


def weights(folder: Path) -> dict[str, float]:
    """Megabytes to install, as a host sends them: plain, gzip, Brotli (by Node.js); DICOM apart."""
    every = [path for path in folder.rglob("*") if path.is_file()]
    dicom = [path for path in every if path.suffix == ".whl" and path.name.startswith(DICOM_WHEELS)]
    files = [path for path in every if path not in dicom]
    script = ("const z=require('zlib'),f=require('fs');let n=0;"
              "for(const p of f.readFileSync(0,'utf8').split('\\n'))"
              "n+=z.brotliCompressSync(f.readFileSync(p)).length;console.log(n)")
    done = subprocess.run([str(npm.node()), "-e", script], input="\n".join(map(str, files)),
                          capture_output=True, text=True, check=True)
    zipped = sum(len(gzip.compress(path.read_bytes(), 9)) for path in files)
    plain = sum(path.stat().st_size for path in files)
    return {"plain_mb": plain / 1e6, "gzip_mb": zipped / 1e6, "brotli_mb": int(done.stdout) / 1e6,
            "for_dicom_mb": sum(path.stat().st_size for path in dicom) / 1e6}


def main() -> int:
    """Measure, print, and keep the figures."""
    parser = argparse.ArgumentParser(prog="build.py bench")
    parser.add_argument("--rounds", type=int, default=LEAST_ROUNDS, help="measured rounds of each kind")
    parser.add_argument("--engine", choices=["chromium", "webkit", "both"], default="both")
    options = parser.parse_args()
    names = list(bench_pages.ENGINES) if options.engine == "both" else [options.engine]
    result: dict[str, Any] = {}
    with TemporaryDirectory() as folder, bench_pages.servers(Path(folder)) as (own, bare):
        result["bytes"] = weights(own.folder)
        _print_parts({"bytes to install, MB": result["bytes"]})
        for engine in names:
            if engine == "webkit" and webdriver.missing():
                say(f"no WebKit here: {', '.join(webdriver.missing())} missing")
                continue
            result[engine] = summary(engine, measure(engine, max(1, options.rounds), own, bare))
            print(f"\n{engine}, milliseconds\n{table(result[engine])}", flush=True)
    result["growth"] = bench_core.growth()
    _print_parts({"growth in this machine's Python, seconds": result["growth"]})
    _keep(result)
    return 0


def _print_parts(parts: Mapping[str, Mapping[str, Any]]) -> None:
    for title, figures in parts.items():
        print(f"\n{title}\n" + "\n".join(f"  {name}: {value}" for name, value in figures.items()), flush=True)


def _keep(result: Mapping[str, Any], path: Path = RESULT) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(result, indent=1) + "\n")



if __name__ == "__main__":
    sys.exit(main())
