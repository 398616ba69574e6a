"""The app is killed again and again while it is typed into; what the screen had acknowledged must be there.

``python3 -m tests.crash.kills --kills 300`` prints a line per loss and a summary; it ends by itself,
after the kills or after ``--minutes``. Run it in the environment of the tests.
"""

from __future__ import annotations

import argparse
import queue
import random
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from webapp.build import assemble

from .kept import Book
from .orders import Orders
from .phone import Host, Message, Phone, lay_out

CODE = "3333-3333"
MOST_ORDERS = 200
#: Of all kills, those while the app starts; the others come while it is typed into.
STARTING_SHARE = 0.15
STARTING_S = 2.0
#: The moment while typing: so many acknowledgements, then a fraction of a second more or less. Counting
#: makes it as telling on a slow machine as on a fast one.
MOST_SHOWN, MORE_S = 8, 0.12
START_LIMIT_S, TYPING_LIMIT_S = 120.0, 30.0
SETTLE_S = 0.05


@dataclass
class Result:
    """What came of a run."""

    kills: int = 0
    lives: int = 0
    shown: int = 0
    losses: list[str] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)
    ways: dict[str, int] = field(default_factory=dict)
    seconds: float = 0.0

    def __str__(self) -> str:
        return (f"{self.kills} kills, {self.lives} starts checked, {self.shown} acknowledgements "
                f"{dict(sorted(self.ways.items()))}, {len(self.losses)} losses, "
                f"{len(self.broken)} script errors, {self.seconds:.0f} s")


class Run:
    """One phone over many lives."""

    def __init__(self, dist: Path, folder: Path, *, seed: int, whole: bool = False) -> None:
        lay_out(dist, folder / "app", whole=whole)
        self._profile = folder / "profile"
        self._rng = random.Random(seed)
        self._orders, self._book = Orders(seed), Book(CODE)
        self._host = Host(folder / "app", self._answer)
        self.result = Result()

    def _answer(self, message: Message) -> Message:
        """The robot asks for its code and for its orders; everything else is only noted."""
        if "state" not in message:
            return {"code": CODE}
        orders = list(self._orders.life(MOST_ORDERS, message["opened"]))
        self._book.orders.update({order["n"]: order for order in orders})
        return {"orders": orders}

    def go(self, kills: int, minutes: float) -> Result:
        """So many kills and a last start that only checks, within so many minutes."""
        begun = time.monotonic()
        try:
            while self.result.kills < kills and time.monotonic() - begun < minutes * 60:
                self._life(kill=True)
            self._life(kill=False)
        finally:
            self._host.stop()
        self.result.seconds = time.monotonic() - begun
        return self.result

    def _life(self, *, kill: bool) -> None:
        phone = Phone(self._profile, self._host.address)
        try:
            if kill and self._rng.random() < STARTING_SHARE:
                self._hear(self._rng.uniform(0, STARTING_S), "finished")
            elif not self._hear(START_LIMIT_S, "working" if kill else "state"):
                raise TimeoutError(f"the app did not start within {START_LIMIT_S:.0f} s: {self.result}")
            elif kill:
                self._hear(TYPING_LIMIT_S, "shown", times=self._rng.randrange(MOST_SHOWN))
                self._hear(self._rng.uniform(0, MORE_S), "finished")
        finally:
            phone.kill()
        self.result.kills += kill
        self._hear(SETTLE_S, "nothing")

    def _hear(self, seconds: float, wanted: str, times: int = 1) -> bool:
        """Take what is told for so long, or until a kind of message has come so often."""
        end = time.monotonic() + seconds
        while times > 0:
            try:
                message = self._host.told.get(timeout=max(0.0, end - time.monotonic()))
            except queue.Empty:
                return False
            self._note(message)
            times -= wanted in message
        return True

    def _note(self, message: Message) -> None:
        if "trying" in message:
            self._book.tried.append(message["trying"])
        elif "shown" in message:
            self._acknowledged(message["shown"], message["result"])
        elif "state" in message:
            self.result.lives += 1
            self.result.losses += self._book.losses(message["state"], message["opened"])
        elif "broken" in message:
            self.result.broken.append(message["broken"])

    def _acknowledged(self, n: int, result: Any) -> None:
        way = self._book.orders[n]["way"]
        self._book.shown[n] = result
        self.result.shown += 1
        self.result.ways[way] = self.result.ways.get(way, 0) + 1


def main(arguments: list[str]) -> int:
    """Build the app, run, report; 1 when anything was lost or broke."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=300)
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--whole", action="store_true", help="with Python and the service worker")
    given = parser.parse_args(arguments)
    with tempfile.TemporaryDirectory() as folder:
        dist = assemble.build(Path(folder) / "dist").folder
        result = Run(dist, Path(folder), seed=given.seed, whole=given.whole).go(given.kills, given.minutes)
    for line in [*result.losses, *result.broken]:
        print(line)
    print(result)
    return 1 if result.losses or result.broken or not result.shown else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
