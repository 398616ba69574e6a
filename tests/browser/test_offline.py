"""The whole app works without network after the first load."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.hands import new_eye
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


def test_a_wrong_file_on_the_server_is_never_kept(server: Running, context: BrowserContext) -> None:
    name = "pyodide/pyodide.asm.wasm"
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


def _publish_another_build(folder: Path, *, old: str, numbers: list[str]) -> None:
    """The same app under another id, as a later release would be."""
    new = "f" * len(old)
    page = folder / "index.html"
    page.write_text(page.read_text().replace(old, new))
    listed = json.loads((folder / "numbers.json").read_text())
    added = [{"version": "9.9.9", "text": text} for text in numbers]
    (folder / "numbers.json").write_text(json.dumps([*added, *listed]))
    rows = json.loads((folder / "precache.json").read_text())
    for row in rows:
        data = (folder / row[0]).read_bytes()
        row[1], row[2] = hashlib.sha256(data).hexdigest(), len(data)
    listing = json.dumps(rows).encode()
    (folder / "precache.json").write_bytes(listing)
    worker = (folder / "sw.js").read_text().replace(old, new)
    worker = re.sub(r'LIST_SHA256 = "\w+"', f'LIST_SHA256 = "{hashlib.sha256(listing).hexdigest()}"', worker)
    (folder / "sw.js").write_text(worker)


def test_a_new_version_says_what_it_changes_and_waits_until_no_eye_is_open(
    server: Running, context: BrowserContext, built: Built
) -> None:
    """The screens of an update; every way it can go is in test_update.py."""
    page = _kept(context.new_page(), server.address)
    code = new_eye(page, "left")
    _publish_another_build(server.folder, old=built.build_id, numbers=["The drift is 0.02 D less."])
    page.get_by_role("link", name="Setup", exact=True).tap()
    page.get_by_role("button", name="Look for a newer version").tap()
    expect(page.locator("gl-version-card")).to_contain_text("ready, see Eyes")
    page.goto(f"{server.address}#/eye/{code}/plan")
    expect(page.locator("gl-plan-view")).to_be_visible()
    expect(page.get_by_text("A new version is ready")).to_have_count(0)
    assert f"Eye {code} is open" in page.evaluate(_CALL.replace("store/offline", "store/update"), ["applyUpdate"])
    page.get_by_role("link", name="Eyes", exact=True).tap()
    expect(page.locator("gl-update-notice")).to_contain_text("The drift is 0.02 D less. (9.9.9)")
    page.get_by_role("button", name="Use it now").tap()
    expect(page.locator(BUILD_META)).to_have_attribute("content", "f" * len(built.build_id), timeout=60_000)
    notice = page.locator("gl-update-notice")
    expect(notice).to_contain_text("This version changed numbers")
    expect(notice).to_contain_text("The drift is 0.02 D less.")
    page.get_by_role("button", name="I have read this").tap()
    expect(notice).to_have_text("")
    page.get_by_role("link", name="Setup", exact=True).tap()
    expect(page.locator("gl-version-card")).to_contain_text("The drift is 0.02 D less. (9.9.9)")
    page.get_by_role("link", name="Open the list").tap()
    licence = page.locator("gl-libraries-view gl-card").filter(has_text="numpy").or_(
        page.locator("gl-libraries-view gl-card[heading^=NumPy]")).first
    licence.get_by_text("Licence text", exact=True).tap()
    expect(licence.locator("pre")).to_contain_text("NumPy Developers")


def test_without_a_service_worker_the_app_still_answers(
    app_url: str, new_context: Callable[..., BrowserContext]
) -> None:
    page = new_context(service_workers="block").new_page()
    page.goto(app_url)
    assert "value" in ask(page, OPERATION, REQUEST)
