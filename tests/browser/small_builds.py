"""Builds of a few small files around the app's own service worker and its page side, and a server for them.

A build is made in milliseconds and started without Python, so that every way an update can go is tried
against the code that ships.
"""

from __future__ import annotations

import json
import re
import threading
from functools import partial
from pathlib import Path

from webapp.build import assemble
from webapp.build.paths import WEBAPP
from webapp.build.serve import HOST, Handler, Server

OWN = ("store/offline.js", "store/update.js")
IMPORTED = re.compile(r'^(?:import|export) (?:[^"]*? from )?"(\.[^"]+)"', re.M)
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><!-- build:head -->
<script type="module" src="./main.js"></script></head><body>small</body></html>"""
#: As the app does it: the guard is set, the files are kept, a core that runs proves the build.
MAIN = """import { offline, startOffline } from "./store/offline.js";
import { proveWith } from "./store/update.js";
offline.guard = async () => sessionStorage.getItem("busy") ?? "";
await startOffline();
const build = document.querySelector('meta[name="guyline-build"]').content;
proveWith(Object.assign(new EventTarget(), { state: "CORE", build }));
"""
BROKEN = 'throw new Error("this build is broken");'


def small_build(build_id: str, *, numbers: tuple[str, ...] = (), core: str = "ready",
                broken: bool = False, bytes_claimed: int | None = None) -> dict[str, bytes]:
    """Every file of a build, as the real build would write it."""
    listed = [{"version": "1", "text": text} for text in numbers]
    files = {path.relative_to(WEBAPP).as_posix(): path.read_bytes() for path in _modules()}
    files["main.js"] = (BROKEN if broken else MAIN.replace("CORE", core)).encode()
    files["first.txt"], files["last.txt"] = f"first of {build_id}".encode(), f"last of {build_id}".encode() * 999
    files["numbers.json"] = json.dumps(listed).encode()
    files["index.html"] = assemble.index_html(PAGE, build_id)
    rows = json.loads(assemble.precache(files))
    files["precache.json"] = json.dumps([[*row[:2], bytes_claimed or row[2]] for row in rows]).encode()
    template = (WEBAPP / "sw.js").read_text(encoding="utf-8")
    files["sw.js"] = assemble.service_worker(template, build_id, files["precache.json"])
    return files


def _modules() -> set[Path]:
    """The page side of updates and everything it imports."""
    found: set[Path] = set()
    waiting = [WEBAPP / name for name in OWN]
    while waiting:
        path = waiting.pop()
        if path not in found:
            found.add(path)
            waiting += [(path.parent / name).resolve() for name in IMPORTED.findall(path.read_text(encoding="utf-8"))]
    return found


class Site:
    """Serves one build; may be stopped, cut connections in the middle of a file, or send wrong bytes."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.port = folder, 0
        self.up = True
        self.cut: set[str] = set()
        self.asked: list[str] = []
        self.start()

    def publish(self, files: dict[str, bytes]) -> None:
        for name, data in files.items():
            path = self.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)

    def start(self) -> None:
        self.up = True
        self._server = Server((HOST, self.port), partial(_Faulty, self, directory=str(self.folder)))
        self.port = self._server.server_address[1]
        threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True).start()

    def stop(self) -> None:
        """No new connection, and no answer on one that is open."""
        self.up = False
        self._server.shutdown()
        self._server.server_close()

    @property
    def address(self) -> str:
        return f"http://localhost:{self.port}/"


class _Faulty(Handler):
    def __init__(self, site: Site, *args: object, directory: str) -> None:
        self.site = site
        super().__init__(*args, directory=directory)  # type: ignore[arg-type]

    def do_GET(self) -> None:  # noqa: N802 - the name that the server calls
        name = self.path.split("?")[0].lstrip("/")
        self.site.asked.append(name)
        if not self.site.up:
            self.close_connection = True
        elif name in self.site.cut:
            self._cut_short(name)
        else:
            super().do_GET()

    def _cut_short(self, name: str) -> None:
        data = (self.site.folder / name).read_bytes()
        self.send_response(200)
        self.send_header("Content-Type", "text/plain")
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        self.wfile.write(data[: len(data) // 2])
        self.close_connection = True
