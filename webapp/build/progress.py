"""Progress of long steps, on a terminal and in a log."""

from __future__ import annotations

import sys
import time


def say(text: str) -> None:
    """One line about what happens now."""
    print(f"- {text}", flush=True)


class ByteProgress:
    """Shows how much of a download has arrived; a log gets a line every ten seconds."""

    def __init__(self, name: str, total: int | None) -> None:
        self.name, self.total, self.done = name, total, 0
        self._live = sys.stdout.isatty()
        self._next = time.monotonic() + (0.2 if self._live else 10)

    def add(self, count: int) -> None:
        """Count bytes that arrived."""
        self.done += count
        if time.monotonic() >= self._next:
            self._show("\r" if self._live else "\n")
            self._next = time.monotonic() + (0.2 if self._live else 10)

    def close(self) -> None:
        """Finish the line with the final size."""
        self._show("\n")

    def _show(self, end: str) -> None:
        of = f" of {self.total / 1e6:.1f}" if self.total else ""
        print(f"  {self.name}: {self.done / 1e6:.1f}{of} MB", end=end, flush=True)
