"""WebKitGTK under the standard WebDriver protocol: JSON over HTTP on this machine.

A virtual screen and a message bus of their own, so that it runs on a machine without either;
everything started here is ended here. Source of the commands: W3C Recommendation WebDriver.
"""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

from .errors import BuildError

PROGRAMS = ("WebKitWebDriver", "Xvfb", "dbus-run-session")
START_S = 60.0
SCREEN = "480x900x24"


class ScriptFailed(Exception):
    """The page or the browser answered with an error."""


def missing() -> list[str]:
    """Programs that are not installed."""
    return [name for name in PROGRAMS if shutil.which(name) is None]


class Page:
    """One window of one session; scripts run in it as functions with a promise for an answer."""

    def __init__(self, address: str, session: str) -> None:
        self._base = f"{address}/session/{session}"

    def goto(self, address: str) -> None:
        _post(f"{self._base}/url", {"url": address})

    def reload(self) -> None:
        _post(f"{self._base}/refresh", {})

    def evaluate(self, function: str, *arguments: object) -> Any:
        """The value of ``function(*arguments)``, awaited; raises :class:`ScriptFailed`."""
        script = f"""const done = arguments[arguments.length - 1];
            const given = [...arguments].slice(0, -1);
            Promise.resolve().then(() => ({function})(...given)).then(
              (value) => done({{ value: value === undefined ? null : value }}),
              (reason) => done({{ why: String(reason && reason.stack || reason) }}));"""
        answer = _post(f"{self._base}/execute/async", {"script": script, "args": list(arguments)})
        if "why" in answer:
            raise ScriptFailed(answer["why"])
        return answer["value"]

    def close(self) -> None:
        _send("DELETE", self._base, None)


@contextmanager
def webkit(script_s: float = 60.0) -> Iterator[Page]:
    """A fresh WebKit with an empty profile."""
    absent = missing()
    if absent:
        raise BuildError(f"WebKit's driver is not installed: {', '.join(absent)} missing.")
    with ExitStack() as stack:
        display = stack.enter_context(_screen())
        address = stack.enter_context(_driver(display))
        page = _session(address, script_s)
        stack.callback(page.close)
        yield page


@contextmanager
def _screen() -> Iterator[str]:
    """A virtual screen; its number is the first that is free."""
    reader, writer = os.pipe()
    command = ["Xvfb", "-displayfd", str(writer), "-screen", "0", SCREEN, "-nolisten", "tcp"]
    with _running(command, pass_fds=(writer,)):
        os.close(writer)
        with os.fdopen(reader) as answer:
            yield f":{answer.readline().strip()}"


@contextmanager
def _driver(display: str) -> Iterator[str]:
    port = _free_port()
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as home:
        for name in ("run", "config", "cache", "data"):
            (Path(home) / name).mkdir(mode=0o700)
        env = {**os.environ, "DISPLAY": display, "GDK_BACKEND": "x11", "LIBGL_ALWAYS_SOFTWARE": "1",
               "NO_AT_BRIDGE": "1", "HOME": home, "XDG_RUNTIME_DIR": f"{home}/run",
               "XDG_CONFIG_HOME": f"{home}/config", "XDG_CACHE_HOME": f"{home}/cache",
               "XDG_DATA_HOME": f"{home}/data"}
        env.pop("WAYLAND_DISPLAY", None)
        command = ["dbus-run-session", "--", "WebKitWebDriver", f"--port={port}"]
        with _running(command, env=env):
            address = f"http://127.0.0.1:{port}"
            _wait_until_answering(address)
            yield address


@contextmanager
def _running(command: list[str], **options: Any) -> Iterator[None]:
    """A program with a group of its own, ended with all that it started."""
    process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                               stderr=subprocess.DEVNULL, start_new_session=True, **options)
    try:
        yield
    finally:
        for signal in (15, 9):
            try:
                os.killpg(process.pid, signal)
                process.wait(5)
            except ProcessLookupError:
                break
            except subprocess.TimeoutExpired:
                continue
        process.wait(5)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


def _wait_until_answering(address: str) -> None:
    end = time.monotonic() + START_S
    while time.monotonic() < end:
        try:
            _send("GET", f"{address}/status", None)
            return
        except (OSError, ScriptFailed):
            time.sleep(0.1)
    raise BuildError("WebKit's driver did not answer.")


def _session(address: str, script_s: float) -> Page:
    # Without a binary named, the driver starts the small browser that comes with WebKitGTK.
    limits = {"script": int(script_s * 1000), "pageLoad": 120_000}
    wanted = {"capabilities": {"alwaysMatch": {"timeouts": limits}}}
    return Page(address, _post(f"{address}/session", wanted)["sessionId"])


def _post(address: str, body: object) -> Any:
    return _send("POST", address, body)


def _send(method: str, address: str, body: object) -> Any:
    data = None if body is None else json.dumps(body).encode()
    request = urllib.request.Request(address, data, {"Content-Type": "application/json"}, method=method)
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    try:
        with opener.open(request, timeout=180) as answer:
            return json.loads(answer.read())["value"]
    except urllib.error.HTTPError as error:
        with error:
            raise ScriptFailed(error.read().decode("utf-8", "replace")[:500]) from None
