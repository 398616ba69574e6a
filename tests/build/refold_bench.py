"""Learning from many stored eyes, in this machine's Python and in the app's: ``build.py bench --refold``.

The app's Python is the built one, under Node.js. Figures are milliseconds, the least of a few runs,
and the app's Python as a multiple of this machine's, which differs less from machine to machine.
They go to the terminal and to ``.cache/refold.json``.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from pycore.records.codes import ALPHABET, FREE_CHARACTERS, complete
from tests.generators_surgeon import stored_eye
from webapp.build import assemble, npm
from webapp.build.paths import CACHE, ROOT

EYES = 1_000
SEED = 4
HERE = Path(__file__).parent
SCRIPT = HERE / "refold_timed.py"
RESULT = CACHE / "refold.json"
LABELS = {
    "ask_learn": "learn, asked through the door, eyes as text",
    "refold": "refold of all eyes",
    "lesson_of_one_eye": "one new eye made a lesson",
    "refold_with_one_more": "refold with the new eye",
}


def stored_eyes(count: int) -> list[dict[str, Any]]:
    """Invented eyes that each teach something, the same on every run."""
    source = random.Random(SEED)
    return [{**stored_eye(source, number % 100, refraction_method="subjective", on="2026-06-15",
                          cdva_logmar=0.1),
             "code": complete(_free(number))} for number in range(count)]


def _free(number: int) -> str:
    """The characters of a code, counting."""
    digits = (number // len(ALPHABET) ** place % len(ALPHABET) for place in range(FREE_CHARACTERS))
    return "".join(ALPHABET[digit] for digit in digits)


def measure(count: int) -> dict[str, dict[str, float]]:
    """Both Pythons, one after the other, on the same eyes."""
    with TemporaryDirectory() as folder:
        dist, eyes = Path(folder) / "dist", Path(folder) / "eyes.json"
        npm.install()
        assemble.build(dist)
        eyes.write_text(json.dumps(stored_eyes(count + 1)), "utf-8")
        node = [npm.node(), HERE / "refold_timed.mjs", dist, SCRIPT, eyes]
        return {"machine": _timed([sys.executable, SCRIPT, eyes]), "app": _timed(node)}


def _timed(words: Sequence[str | Path]) -> dict[str, float]:
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(words, cwd=ROOT, env=env, capture_output=True, text=True, check=True, timeout=1800)
    return dict(json.loads(done.stdout.splitlines()[-1]))


def table(found: Mapping[str, Mapping[str, float]]) -> str:
    """Both Pythons for the terminal."""
    lines = [f"{found['app']['eyes']:.0f} stored eyes{'machine ms':>44}{'app ms':>10}{'ratio':>8}"]
    for name, label in LABELS.items():
        here, there = found["machine"][name], found["app"][name]
        lines.append(f"{label:46}{here:14.1f}{there:10.1f}{there / here:8.2f}")
    return "\n".join(lines)


def main(words: list[str]) -> int:
    """Measure, print, and keep the figures."""
    parser = argparse.ArgumentParser(prog="build.py bench --refold", description=__doc__)
    parser.add_argument("--eyes", type=int, default=EYES, help="stored eyes to learn from")
    found = measure(max(1, parser.parse_args(words).eyes))
    RESULT.parent.mkdir(parents=True, exist_ok=True)
    RESULT.write_text(json.dumps(found, indent=1) + "\n")
    print(table(found))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
