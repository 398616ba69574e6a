"""The whole app works without network after the first load."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.page_state import ask, core_state, offline_state
from webapp.build.assemble import Built
from webapp.build.serve import Running

BUILD_META = 'meta[name="guyline-build"]'
OPERATION, REQUEST = "vergence_power", {
    "present_refraction_d": 12.0, "target_d": -0.5, "k_d": 43.0, "lens_position_mm": 5.2,
}


def _kept(page: Page, address: str) -> Page:
    """Open the app and wait until it is kept on the device."""
    page.goto(address)
    offline_state(page, "ready")
    return page


def test_first_load_then_cold_start_without_server(server: Running, context: BrowserContext) -> None:
    first = _kept(context.new_page(), server.address)
    with_network = ask(first, OPERATION, REQUEST)
    first.close()
    server.stop()
    cold = context.new_page()
    cold.goto(server.address)
    without_network = ask(cold, OPERATION, REQUEST)
    assert without_network["value"] == with_network["value"]
    assert offline_state(cold, "ready")["sentence"] == "Ready without network."


def test_reloads_without_server(server: Running, context: BrowserContext) -> None:
    page = _kept(context.new_page(), server.address)
    server.stop()
    for _ in range(3):
        page.reload()
        assert "value" in ask(page, OPERATION, REQUEST)


def test_numpy_comes_from_the_device(server: Running, context: BrowserContext) -> None:
    _kept(context.new_page(), server.address).close()
    server.stop()
    page = context.new_page()
    page.goto(server.address)
    ask(page, OPERATION, REQUEST)
    assert core_state(page, "ready", "failed", key="numpy")["numpy"] == "ready"


def test_a_link_into_the_app_opens_without_server(server: Running, context: BrowserContext) -> None:
    _kept(context.new_page(), server.address).close()
    server.stop()
    page = context.new_page()
    page.goto(f"{server.address}?source=home#/eyes")
    assert "value" in ask(page, OPERATION, REQUEST)


def test_nothing_is_asked_of_another_origin(server: Running, context: BrowserContext) -> None:
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    page = _kept(context.new_page(), server.address)
    ask(page, OPERATION, REQUEST)
    core_state(page, "ready", key="numpy")
    foreign = [url for url in asked if not url.startswith((server.address, "data:", "blob:"))]
    assert asked
    assert foreign == []


def test_progress_is_told_by_bytes(server: Running, context: BrowserContext) -> None:
    page = context.new_page()
    page.add_init_script("""
      window.heard = [];
      navigator.serviceWorker.addEventListener("message", (event) => window.heard.push(event.data));
    """)
    _kept(page, server.address)
    steps = [one for one in page.evaluate("window.heard") if one.get("type") == "downloading"]
    rows = json.loads((server.folder / "precache.json").read_text())
    assert steps[-1]["done"] == steps[-1]["total"] == sum(row[2] for row in rows)
    assert [one["done"] for one in steps] == sorted(one["done"] for one in steps)


def test_workers_get_the_policy_from_the_device(server: Running, context: BrowserContext) -> None:
    page = _kept(context.new_page(), server.address)
    server.stop()
    headers = page.evaluate("""async () => Object.fromEntries(
      (await fetch("worker/worker.js")).headers.entries())""")
    assert "connect-src 'self'" in headers["content-security-policy"]


def _damage(page: Page, name: str) -> None:
    page.evaluate("""async ([name]) => {
      const [key] = (await caches.keys()).filter((one) => one.startsWith("guyline-"));
      const url = new URL(name, document.baseURI).href;
      const cache = await caches.open(key);
      const old = await cache.match(url);
      const bytes = new Uint8Array(await old.arrayBuffer());
      bytes[bytes.length >> 1] ^= 1;
      await cache.put(url, new Response(bytes, { headers: old.headers }));
    }""", [name])


_CALL = """([name]) => import(new URL("store/offline.js", document.baseURI).href)
  .then((module) => module[name]())"""


def test_a_damaged_file_is_named_and_repaired(server: Running, context: BrowserContext) -> None:
    page = _kept(context.new_page(), server.address)
    _damage(page, "core/pycore.zip")
    page.evaluate(_CALL, ["checkFiles"])
    state = offline_state(page, "failed")
    assert state["bad"] == ["core/pycore.zip"]
    page.evaluate(_CALL, ["repairFiles"])
    assert offline_state(page, "ready")["bad"] == []


def test_a_missing_file_is_found_at_the_next_start(server: Running, context: BrowserContext) -> None:
    page = _kept(context.new_page(), server.address)
    page.evaluate("""async () => { for (const key of await caches.keys())
      await (await caches.open(key)).delete(new URL("icons/guyline.svg", document.baseURI).href); }""")
    server.stop()
    page.reload()
    assert "icons/guyline.svg" in offline_state(page, "failed")["why"]


@pytest.mark.parametrize("name", ["main.js", "core/pycore.zip", "pyodide/pyodide.asm.wasm"])
def test_a_wrong_file_on_the_server_is_never_kept(
    server: Running, context: BrowserContext, name: str
) -> None:
    path = server.folder / name
    path.write_bytes(path.read_bytes() + b"\n")
    page = context.new_page()
    page.goto(server.address)
    state = page.evaluate("""async () => {
      const { offline, startOffline } = await import(new URL("store/offline.js", document.baseURI).href);
      await startOffline();
      return offline.state;
    }""")
    assert state["name"] == "failed"
    assert name in state["why"]


def _publish_another_build(folder: Path, *, old: str) -> None:
    """The same app under another id, as a later release would be."""
    import hashlib
    new = "f" * len(old)
    page = folder / "index.html"
    page.write_text(page.read_text().replace(old, new))
    rows = json.loads((folder / "precache.json").read_text())
    for row in rows:
        data = (folder / row[0]).read_bytes()
        row[1], row[2] = hashlib.sha256(data).hexdigest(), len(data)
    listing = json.dumps(rows).encode()
    (folder / "precache.json").write_bytes(listing)
    worker = (folder / "sw.js").read_text().replace(old, new)
    worker = re.sub(r'LIST_SHA256 = "\w+"', f'LIST_SHA256 = "{hashlib.sha256(listing).hexdigest()}"', worker)
    (folder / "sw.js").write_text(worker)


def test_a_new_build_waits_until_it_is_asked_for(
    server: Running, context: BrowserContext, built: Built
) -> None:
    page = _kept(context.new_page(), server.address)
    _publish_another_build(server.folder, old=built.build_id)
    page.evaluate("navigator.serviceWorker.getRegistration().then((one) => one.update())")
    page.evaluate("""async () => {
      const found = await navigator.serviceWorker.getRegistration();
      while (!found.waiting) await new Promise((resolve) => setTimeout(resolve, 50));
    }""")
    page.reload()
    assert _build_of(page) == built.build_id, "a reload must not change the running build"
    keys = page.evaluate("caches.keys()")
    assert len(keys) == 2
    page.evaluate("""() => {
      import(new URL("store/offline.js", document.baseURI).href).then(async (module) => {
        while (!module.offline.updateReady) await new Promise((go) => setTimeout(go, 50));
        module.applyUpdate();
      });
    }""")
    newer = "f" * len(built.build_id)
    expect(page.locator(BUILD_META)).to_have_attribute("content", newer, timeout=60_000)
    offline_state(page, "ready")
    assert page.evaluate("caches.keys()") == [f"guyline-{newer}"]


def _build_of(page: Page) -> str | None:
    return page.locator(BUILD_META).get_attribute("content")


def test_without_a_service_worker_the_app_still_answers(
    app_url: str, new_context: Callable[..., BrowserContext]
) -> None:
    page = new_context(service_workers="block").new_page()
    page.goto(app_url)
    assert "value" in ask(page, OPERATION, REQUEST)
