"""``python3 -m tests.fuzz --inputs 100000``: ends by itself; fails when anything is counted."""

from __future__ import annotations

import argparse
import sys

from tests.fuzz.run import fuzz, printed


def main() -> int:
    parser = argparse.ArgumentParser(prog="python3 -m tests.fuzz", description="Hostile inputs for everything that reads.")
    parser.add_argument("--inputs", type=int, default=100_000, help="how many (default: 100000)")
    parser.add_argument("--seed", type=int, default=20_261_125, help="of everything that is drawn")
    parser.add_argument("--minutes", type=float, default=60.0, help="stop after so long")
    given = parser.parse_args()
    report = fuzz(given.inputs, given.seed, seconds=given.minutes * 60)
    print(printed(report, given.seed))
    return 0 if report.clean else 1


if __name__ == "__main__":
    sys.exit(main())
