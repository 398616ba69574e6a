"""The virtual cohort as a bench: ``python3 build.py bench --cohort [--eyes N]``.

A table for the terminal, all figures with their standard errors in ``.cache/cohort.json``.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from tests.simulation.cohort.figures import (
    Exchanged,
    Figures,
    Share,
    another_lens_did,
    as_plain,
    figures,
    gain,
)
from tests.simulation.cohort.learned import FRESH, OWN_EYES, SCENARIO_NAMES, play_learning
from tests.simulation.cohort.play import SEED, Played, play
from tests.simulation.cohort.scenarios import SCENARIOS

RESULT = Path(__file__).resolve().parents[3] / ".cache" / "cohort.json"
EYES = 2_000
HEAD = (f"{'':16}{'0.25 D':>12}{'0.50 D':>12}{'1.00 D':>12}{'gain 0.50':>13}{'mean':>7}{'SD':>7}"
        f"{'in 80 %':>13}{'promised':>10}{'reads':>7}")


def options(words: list[str]) -> argparse.Namespace:
    """Command line of the bench."""
    parser = argparse.ArgumentParser(prog="build.py bench --cohort", description=__doc__)
    parser.add_argument("--eyes", type=int, default=EYES, help="virtual eyes in each scenario")
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--scenarios", nargs="+", choices=SCENARIOS, default=list(SCENARIOS))
    found = parser.parse_args(words)
    if found.eyes < 2 or found.processes < 1:
        parser.error("--eyes needs at least 2 and --processes at least 1")
    return found


def row(name: str, part: Figures) -> str:
    """One policy's line; percentages with their standard errors."""
    shares = "".join(f"{100 * s.value:8.1f}±{100 * s.se:<3.1f}"
                     for s in (part.within_025, part.within_050, part.within_100))
    gained = f"{100 * part.gain_050.value:+9.1f}±{100 * part.gain_050.se:<3.1f}"
    held = f"{100 * part.coverage.value:9.1f}±{100 * part.coverage.se:<3.1f}" if part.coverage else " " * 13
    said = f"{100 * part.promised_050:10.1f}" if part.promised_050 is not None else " " * 10
    count = f"{part.readings:7.2f}" if part.readings is not None else ""
    swapped = f"  {100 * part.exchanged:.1f} % exchanged" if part.exchanged is not None else ""
    uneven = f"  haptics {part.uneven_mm:.2f} mm uneven" if part.uneven_mm else ""
    return f"{name:16}{shares}{gained}{part.mean_d:+7.2f}{part.sd_d:7.2f}{held}{said}{count}{swapped}{uneven}"


def table(title: str, played: dict[str, Played]) -> str:
    """One scenario for the terminal."""
    reference = played["no_titration"]
    lines = [title, HEAD, *(row(name, figures(part, reference)) for name, part in played.items())]
    for other in (name for name in ("better_end", "straight_line") if name in played):
        less = gain(played["advice"], played[other])
        lines.append(f"  advice less {other}: {100 * less.value:+.1f}±{100 * less.se:.1f} points in 0.50 D")
    for name, part in played.items():
        did = another_lens_did(part, played["advice"])
        lines += [f"  {name}: {another_lens_line(did)}"] if did else []
    return "\n".join(lines)


def another_lens_line(did: Exchanged) -> str:
    """What another lens did to the eyes that got one."""
    def percent(part: Share) -> str:
        return f"{100 * part.value:.1f}±{100 * part.se:.1f}"

    return (f"{percent(did.share)} % of eyes exchanged; of these {percent(did.needless)} % needlessly (in 0.50 D "
            f"anyway), {percent(did.worse)} % ended worse ({percent(did.much_worse)} % by over 0.25 D), "
            f"{percent(did.gain_050)} points more in 0.50 D")


def _learning(chosen: argparse.Namespace, pool: ProcessPoolExecutor) -> dict[str, object]:
    """Surgeons who learn from own eyes: about half as many eyes in all as a scenario has."""
    surgeons = max(2, chosen.eyes // (max(OWN_EYES) + FRESH) // 2)
    found: dict[str, object] = {}
    for name in (name for name in SCENARIO_NAMES if name in chosen.scenarios):
        played = play_learning(name, surgeons=surgeons, seed=chosen.seed, pool=pool)
        found[name] = {"surgeons": surgeons, "fresh_eyes_each": FRESH, "policies": as_plain(played)}
        print(table(f"\n{name}, {surgeons} surgeons learning: {SCENARIOS[name].about}", played), flush=True)
    return found


def main(words: list[str]) -> int:
    """Play every scenario, print as they come, and keep the figures."""
    chosen = options(words)
    found: dict[str, object] = {}
    started = time.monotonic()
    with ProcessPoolExecutor(chosen.processes) as pool:
        for scenario in (SCENARIOS[name] for name in chosen.scenarios):
            played = play(scenario.name, count=chosen.eyes, seed=chosen.seed, own_lens=scenario.own_lens,
                          thresholds=scenario.thresholds, pool=pool)
            found[scenario.name] = {"about": scenario.about, "policies": as_plain(played)}
            print(table(f"\n{scenario.name}: {scenario.about}", played), flush=True)
        learning = _learning(chosen, pool)
    RESULT.parent.mkdir(parents=True, exist_ok=True)
    kept = {"eyes": chosen.eyes, "seed": chosen.seed, "scenarios": found, "learning": learning}
    RESULT.write_text(json.dumps(kept, indent=1) + "\n")
    print(f"\n{chosen.eyes} eyes a scenario, {time.monotonic() - started:.0f} s; figures in {RESULT.name}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
