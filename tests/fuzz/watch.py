"""Counts what the core may never do: ask anywhere else, start a program, write a file."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any, NoReturn

FOREIGN = ("socket.connect", "socket.getaddrinfo", "socket.gethostbyname", "socket.sendto", "urllib.Request",
           "ftplib.connect", "http.client.connect", "subprocess.Popen", "os.system", "os.exec", "os.posix_spawn",
           "webbrowser.open")
CHANGING = ("os.remove", "os.rename", "os.rmdir", "os.mkdir", "os.truncate", "shutil.rmtree")
WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_APPEND | os.O_TRUNC


class TooSlow(Exception):
    """One input took longer than any input may."""


class Watch:
    """Counts while :meth:`counting`; Python offers no way to take an audit hook away again."""

    def __init__(self) -> None:
        self.foreign: list[str] = []
        self.written: list[str] = []
        self._on = False
        sys.addaudithook(self._hear)

    def _hear(self, event: str, arguments: tuple[Any, ...]) -> None:
        if not self._on:
            return
        if event in FOREIGN:
            self.foreign.append(f"{event} {arguments!r:.120}")
        elif event in CHANGING or (event == "open" and _writes(arguments)):
            self.written.append(f"{event} {arguments!r:.120}")

    @contextmanager
    def counting(self) -> Iterator[None]:
        self._on = True
        try:
            yield
        finally:
            self._on = False


def _writes(arguments: tuple[Any, ...]) -> bool:
    """A module's bytecode, written by the first import of it, is no change of ours."""
    path, _, flags = arguments
    return bool((flags or 0) & WRITING) and "__pycache__" not in str(path)


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Raises :class:`TooSlow` in the middle of what takes longer."""
    def stop(number: int, frame: FrameType | None) -> NoReturn:
        raise TooSlow(f"no answer within {seconds:g} s")

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
