"""Every call of the caches in the service worker fails in every way: the page is told or answered rightly, nothing
hangs for good, and afterwards the app's files are whole again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext

from tests.browser.faults.call_sites import call_sites
from tests.browser.faults.page import FAULTS
from tests.browser.faults.table import WORKER_EXCUSED
from tests.browser.page_state import offline_state
from webapp.build import assemble
from webapp.build.paths import WEBAPP
from webapp.build.serve import Running

CALLS = [site for site in call_sites() if site.file == "sw.js"]
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><!-- build:head -->
<script type="module" src="./main.js"></script></head><body>small</body></html>"""
MAIN = 'import { startOffline } from "./store/offline.js";\nstartOffline();\n'
FOLDERS = ("store", "words", "worker")

_STEPS = """async ([build, ms]) => {
  const late = () => new Promise((go) => setTimeout(() => go("late"), ms));
  const ask = (type) => Promise.race([late(), new Promise((go) => {
    const channel = new MessageChannel();
    channel.port1.onmessage = ({ data }) => go(data);
    navigator.serviceWorker.controller.postMessage({ type }, [channel.port2]);
  })]);
  const text = () => Promise.race([late(), fetch("first.txt").then(async (answer) => [answer.status, await answer.text()], () => "refused")]);
  const cache = await caches.open(`guyline-${build}`);
  await caches.open("guyline-older");
  const before = await text();
  for (const name of ["first.txt", "precache.json"]) await cache.delete(new URL(name, document.baseURI).href);
  const found = await ask("check");
  return { before, found, repaired: await ask("repair"), tidied: [await ask("hello"), await ask("alive")], after: await text() };
}"""


def small_build(build_id: str) -> dict[str, bytes]:
    """The service worker that ships and its page side around one small file, with the faults beside it."""
    paths = [path for folder in FOLDERS for path in sorted((WEBAPP / folder).rglob("*.js"))]
    files = {path.relative_to(WEBAPP).as_posix(): path.read_bytes() for path in paths}
    files["main.js"], files["first.txt"] = MAIN.encode(), b"first"
    files["index.html"] = assemble.index_html(PAGE, build_id)
    files["precache.json"] = assemble.precache(files)
    worker = assemble.service_worker((WEBAPP / "sw.js").read_text(encoding="utf-8"), build_id, files["precache.json"])
    # On the first line, so that every call keeps its place.
    return {**files, "faults.js": FAULTS.encode(), "sw.js": b'importScripts("./faults.js"); ' + worker}


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Running]:
    """The small build, served."""
    for name, data in small_build("a" * 16).items():
        path = tmp_path / "site" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    running = Running(tmp_path / "site")
    yield running
    running.stop()


def test_no_fault_of_the_caches_gives_a_wrong_file_or_a_false_word(
    site: Running, new_context: Callable[..., BrowserContext]
) -> None:
    context = new_context()
    page = context.new_page()
    page.goto(site.address)
    offline_state(page, "ready")
    worker = context.service_workers[0]
    never = {call.name for call in CALLS}
    for call in CALLS:
        for fault in call.faults:
            case = f"{call.name} {fault}"
            worker.evaluate("(one) => self.faults.arm([one])", {"place": call.place, "fault": fault})
            told = page.evaluate(_STEPS, ["a" * 16, 400 if fault == "timeout" else 10_000])
            if worker.evaluate("self.faults.fired") > 0:
                never.discard(call.name)
            worker.evaluate("self.faults.disarm()")
            texts = [told["before"], told["after"]]
            wrong = [one for one in texts if isinstance(one, list) and one[0] == 200 and one[1] != "first"]
            assert wrong == [] or (call.name, fault) in WORKER_EXCUSED, case
            answers = [told["found"], told["repaired"]]
            assert fault == "timeout" or "late" not in answers, case
            assert all(one == "late" or one.get("why") or one.get("value") for one in answers), case
            if told["found"] != "late" and told["found"].get("value"):
                assert "first.txt" in told["found"]["value"]["bad"], f"{case}: a missing file was not found"
            mended = page.evaluate(_STEPS, ["a" * 16, 10_000])
            assert mended["repaired"].get("value") == {"bad": []}, f"{case}: {mended}"
            assert mended["after"] == [200, "first"], case
    assert never == set(), "these calls were never reached"

