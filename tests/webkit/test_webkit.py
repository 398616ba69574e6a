"""The app on the other engine: start, plan, advice, records, offline, memory, export."""

from __future__ import annotations

import json
import math
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from pycore.api import handle
from webapp.build import webkit
from webapp.build.assemble import Built
from webapp.build.serve import Running
from webapp.build.webdriver import Page, missing
from webapp.build.webdriver import webkit as started

pytestmark = [
    pytest.mark.slow,
    pytest.mark.flaky(reruns=1),
    pytest.mark.skipif(bool(missing()) and not webkit.demanded(), reason=f"WebKit: {webkit.why_not()}"),
]
WAIT_MS = 150_000

# Every script asks the page's own modules; the engine's driver waits for the promise.
_MODULE = "(path) => import(new URL(path, document.baseURI).href)"
_OFFLINE = f"""async (ms) => {{
  const {{ offline }} = await ({_MODULE})("store/offline.js");
  return new Promise((resolve) => {{
    const look = () => {{ if (["ready", "failed", "unsupported"].includes(offline.state.name)) resolve(offline.state); }};
    offline.addEventListener("change", look);
    setTimeout(() => resolve({{ name: "late", was: offline.state }}), ms);
    look();
  }});
}}"""
_ASK = f"""async (operation, payload) => {{
  const {{ ask, status }} = await ({_MODULE})("worker/client.js");
  const {{ value }} = await ask(operation, payload);
  return {{ value, from: status.from, why: status.fromWhy }};
}}"""
_STORE = """async (records) => {
  const { store } = document.querySelector("gl-shell");
  for (const record of records) await store.create(record);
  return (await store.list()).map((record) => record.code).sort();
}"""
_SHOWN = """async (count, ms) => {
  const end = performance.now() + ms;
  const eyes = () => document.querySelector("gl-shell")?.shadowRoot?.querySelector("gl-eyes-view")?.shadowRoot;
  while ((eyes()?.querySelectorAll("a.eye").length ?? 0) < count && performance.now() < end) {
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  return [...eyes().querySelectorAll("a.eye")].map((one) => decodeURIComponent(one.hash.split("/")[2])).sort();
}"""
_SNAPSHOT = f"""async () => (await ({_MODULE})("worker/snapshot.js")).makeSnapshot()"""


@pytest.fixture
def server(dist: Path, tmp_path: Path) -> Iterator[Running]:
    folder = tmp_path / "served"
    shutil.copytree(dist, folder)
    running = Running(folder)
    yield running
    running.stop()


@pytest.fixture
def page() -> Iterator[Page]:
    with started(script_s=WAIT_MS / 1000 + 30) as opened:
        yield opened


def _here(operation: str, payload: Any) -> Any:
    return json.loads(handle(json.dumps({"id": 1, "operation": operation, "payload": payload})))["value"]


def _same(here: Any, there: Any) -> bool:
    """Equal but for the last digits of floats."""
    if isinstance(here, dict):
        return here.keys() == there.keys() and all(_same(here[key], there[key]) for key in here)
    if isinstance(here, list):
        return len(here) == len(there) and all(_same(*pair) for pair in zip(here, there, strict=True))
    if isinstance(here, float):
        return math.isclose(here, there, rel_tol=1e-9, abs_tol=1e-9)
    return bool(here == there)


@pytest.mark.timeout(600)
def test_a_day_on_webkit(server: Running, page: Page, built: Built) -> None:
    page.goto(server.address)
    assert page.evaluate(_OFFLINE, WAIT_MS) == {"name": "ready"}

    cases = page.evaluate(_ASK, "demo_cases", {})["value"]["cases"]
    codes = sorted(case["code"] for case in cases)
    assert page.evaluate(_STORE, cases) == codes

    requests = [("plan_case", {"case": case}) for case in cases] + [("theatre_case", {"case": case}) for case in cases]
    before = [page.evaluate(_ASK, *request)["value"] for request in requests]
    for request, there in zip(requests, before, strict=True):
        assert _same(_here(*request), there), request[0]
    assert any(value.get("advice") for value in before), "no demo eye came as far as advice"

    # From here on nothing is served: a closed and opened app has only what this device keeps.
    server.stop()
    page.reload()
    assert page.evaluate(_SHOWN, len(codes), WAIT_MS) == codes
    assert page.evaluate(_ASK, *requests[-1])["value"] == before[-1]

    outcome = page.evaluate(_SNAPSHOT)
    assert outcome in ("kept", "refused", "impossible"), outcome
    page.reload()
    again = page.evaluate(_ASK, *requests[-1])
    assert again["value"] == before[-1]
    assert (again["from"], again["why"]) == ("snapshot" if outcome == "kept" else "plain", None)

    csv = page.evaluate(_ASK, "export_csv", {"cases": cases, "exclude_demo": False})["value"]["csv"]
    assert len(csv.strip().splitlines()) == 1 + len(cases)
    assert not any(code in csv for code in codes), "a case code left the device"
