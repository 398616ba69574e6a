"""A phone for the crash test: the app on a local server with the robot beside it, and a Chromium whose
whole process tree is killed."""

from __future__ import annotations

import hashlib
import json
import os
import queue
import re
import shutil
import signal
import subprocess
import threading
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from webapp.build import browser as chromium
from webapp.build.serve import HOST, Handler, Server

ROBOT = Path(__file__).with_name("robot.js")
GONE_S = 20.0
Message = dict[str, Any]


def lay_out(dist: Path, target: Path, *, whole: bool) -> None:
    """A copy of the app with the robot in its page; unless whole, without Python and service worker."""
    shutil.copytree(dist, target, ignore=None if whole else shutil.ignore_patterns("pyodide", "*.br", "*.gz"))
    shutil.copy(ROBOT, target / ROBOT.name)
    page = target / "index.html"
    page.write_text(page.read_text().replace("</head>", f'<script type="module" src="./{ROBOT.name}"></script></head>'))
    if whole:
        _list_again(target)
    else:
        (target / "sw.js").unlink()
        (target / "worker" / "worker.js").unlink()


def _list_again(folder: Path) -> None:
    """The page has changed: its hash in the list of files, and the list's hash in the service worker."""
    rows = json.loads((folder / "precache.json").read_text())
    rows.append([ROBOT.name, "", 0])
    for row in rows:
        data = (folder / row[0]).read_bytes()
        row[1], row[2] = hashlib.sha256(data).hexdigest(), len(data)
    listing = json.dumps(rows).encode()
    (folder / "precache.json").write_bytes(listing)
    for packed in [*folder.glob("index.html.*"), *folder.glob("precache.json.*"), *folder.glob("sw.js.*")]:
        packed.unlink()
    worker = folder / "sw.js"
    digest = hashlib.sha256(listing).hexdigest()
    worker.write_text(re.sub(r'LIST_SHA256 = "\w+"', f'LIST_SHA256 = "{digest}"', worker.read_text()))


class Listener(Handler):
    """Serves the app and hears what the robot tells."""

    hear: Callable[[Message], Message]

    def do_POST(self) -> None:  # noqa: N802 - the library's name
        length = int(self.headers.get("Content-Length", "0"))
        answer = json.dumps(type(self).hear(json.loads(self.rfile.read(length)))).encode()
        self.send_response(200)
        self.send_header("Content-Type", "application/json")
        self.send_header("Content-Length", str(len(answer)))
        self.end_headers()
        self.wfile.write(answer)


class Host:
    """The served app; what the robot tells stands in ``told``, in the order it was heard."""

    def __init__(self, folder: Path, answer: Callable[[Message], Message]) -> None:
        self.told: queue.Queue[Message] = queue.Queue()
        self._answer = answer
        handler = type("Heard", (Listener,), {"hear": staticmethod(self._hear)})
        self._server = Server((HOST, 0), partial(handler, directory=str(folder)))
        self.address = f"http://localhost:{self._server.server_address[1]}/"
        threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True).start()

    def _hear(self, message: Message) -> Message:
        answer = self._answer(message)
        self.told.put(message)
        return answer

    def stop(self) -> None:
        self._server.shutdown()
        self._server.server_close()


class Phone:
    """One Chromium process tree on a profile that stays."""

    def __init__(self, profile: Path, address: str) -> None:
        flags = [*chromium.FLAGS, "--headless=new", "--disable-breakpad", "--disable-crash-reporter",
                 "--disable-extensions", "--window-size=390,844", f"--user-data-dir={profile}"]
        # As an installed app: a window without the browser's own toolbar, which would take longer to start.
        self.started = time.monotonic()
        self._process = subprocess.Popen(
            [chromium.find() or "chromium", *flags, f"--app={address}"], start_new_session=True,
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

    def kill(self) -> None:
        """Every process of it, at once, with no chance to tidy up."""
        group = self._process.pid
        end = time.monotonic() + GONE_S
        while _signal(group) and time.monotonic() < end:
            self._process.poll()
            time.sleep(0.01)
        self._process.wait(GONE_S)


def _signal(group: int) -> bool:
    """Whether any process of the group was there to be killed."""
    try:
        os.killpg(group, signal.SIGKILL)
    except (ProcessLookupError, PermissionError):
        return False
    return True
