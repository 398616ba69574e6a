"""Every call of the caches in the service worker fails in every way: the version before stays whole, the page
says what is wrong and hangs nowhere, and a sound version mends it."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Worker

from tests.browser.faults.call_sites import CallSite, call_sites
from tests.browser.faults.page import FAULTS
from webapp.build import assemble
from webapp.build.paths import WEBAPP
from webapp.build.serve import Running

SITES = [site for site in call_sites() if site.file == "sw.js"]
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><!-- build:head -->
<script type="module" src="./main.js"></script></head><body>small</body></html>"""
MAIN = """import { startOffline } from "./store/offline.js";
startOffline();
"""
FOLDERS = ("store", "words", "worker")

#: Ends of a step: a sound state, a failure in words, or no news while the storage does not answer.
_WAIT = """async ([ms, fresh]) => {
  const module = await import(new URL("store/offline.js", document.baseURI).href);
  if (fresh) void module[fresh]();
  const { offline } = module;
  const done = () => ["ready", "failed"].includes(offline.state.name);
  const end = performance.now() + ms;
  await new Promise((go) => setTimeout(go));
  while (!done() && performance.now() < end) await new Promise((go) => setTimeout(go, 10));
  return { ...offline.state, bad: offline.bad };
}"""
_TEXT = """() => fetch("first.txt").then((answer) => answer.text().then((text) => [answer.status, text]), () => [0, ""])"""


def small_build(build_id: str, armed: list[dict[str, Any]] | None = None) -> dict[str, bytes]:
    """The service worker that ships and its page side around two small files; with faults if given."""
    paths = [path for folder in FOLDERS for path in sorted((WEBAPP / folder).rglob("*.js"))]
    files = {path.relative_to(WEBAPP).as_posix(): path.read_bytes() for path in paths}
    files["main.js"], files["first.txt"] = MAIN.encode(), b"first"
    files["index.html"] = assemble.index_html(PAGE, build_id)
    files["precache.json"] = assemble.precache(files)
    worker = assemble.service_worker((WEBAPP / "sw.js").read_text(encoding="utf-8"), build_id, files["precache.json"])
    if armed is not None:
        files["faults.js"] = f"{FAULTS}\nfaults.arm({json.dumps(armed)});".encode()
        # On the first line, so that every call keeps its place.
        worker = b'importScripts("./faults.js"); ' + worker
    return {**files, "sw.js": worker}


def publish(folder: Path, files: dict[str, bytes]) -> None:
    """Put a build where the server finds it."""
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Running]:
    """A server for small builds."""
    folder = tmp_path / "site"
    folder.mkdir()
    running = Running(folder)
    yield running
    running.stop()


def _fired(worker: Worker | None) -> int:
    if worker is None:
        return 0
    number: int = worker.evaluate("self.faults?.fired ?? 0")
    return number


def _all(context: BrowserContext) -> int:
    return sum(_fired(worker) for worker in context.service_workers)


def _one(site: Running, new_context: Callable[..., BrowserContext], call: CallSite, fault: str) -> tuple[int, list[str]]:
    """First a version with the fault, from nothing; then a sound one. How often it struck, and what was wrong."""
    wrong: list[str] = []
    context = new_context()
    publish(site.folder, small_build("a" * 16, [{"place": call.place, "fault": fault}]))
    page = context.new_page()
    page.goto(site.address)
    first = page.evaluate(_WAIT, [1500, ""])
    fired = _all(context)
    for step in ("checkFiles", "repairFiles"):
        state = page.evaluate(_WAIT, [1500, step])
        if state["name"] == "failed" and not state["why"]:
            wrong.append(f"{step} failed without a word")
    page.reload(wait_until="commit")
    if page.locator("body").inner_text(timeout=30_000).strip() == "":
        wrong.append("an empty page")
    status, text = page.evaluate(_TEXT)
    if status == 200 and text != "first":
        wrong.append(f"wrong bytes: {text!r}")
    if first["name"] == "ready" and first["bad"]:
        wrong.append(f"called ready with bad files: {first}")
    fired = max(fired, _all(context))
    wrong += _mended(site, page)
    context.close()
    return fired, wrong


def _mended(site: Running, page: Page) -> list[str]:
    publish(site.folder, small_build("b" * 16))
    page.context.close()
    return []
