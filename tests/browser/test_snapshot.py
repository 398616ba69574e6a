"""The kept memory: used when it is sound, never when it is not, and in nobody's way."""

from __future__ import annotations

import json
from typing import Any

from playwright.sync_api import BrowserContext, Page

from pycore.api import handle
from tests.browser.page_state import ask, core_state, offline_state
from webapp.build.assemble import Built
from webapp.build.serve import Running

OPERATION, REQUEST = "vergence_power", {
    "present_refraction_d": 12.0, "target_d": -0.5, "k_d": 43.0, "lens_position_mm": 5.2,
}
_MAKE = """() => import(new URL("worker/snapshot.js", document.baseURI).href)
  .then((module) => module.makeSnapshot())"""
_HOW = """() => import(new URL("worker/client.js", document.baseURI).href)
  .then(({ status }) => ({ from: status.from, why: status.fromWhy }))"""
# The sound snapshot is set aside once; every fault is a changed copy of it.
_SET_ASIDE = """async ([build]) => {
  const cache = await caches.open(`guyline-${build}`);
  const url = new URL(`snapshot-${build}`, document.baseURI).href;
  await cache.put(`${url}-aside`, await cache.match(url));
}"""
_PUT_BACK = """async ([build, headers, spoil]) => {
  const cache = await caches.open(`guyline-${build}`);
  const url = new URL(`snapshot-${build}`, document.baseURI).href;
  const old = await cache.match(`${url}-aside`);
  let bytes = new Uint8Array(await old.arrayBuffer());
  const more = {};
  if (spoil === "corrupt") bytes[bytes.length >> 1] ^= 1;
  if (spoil === "short") bytes = bytes.slice(0, bytes.length - 65536);
  if (spoil === "long") { const longer = new Uint8Array(bytes.length + 131072); longer.set(bytes); bytes = longer; }
  if (spoil === "foreign") {
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes.fill(7)));
    more["x-guyline-sha256"] = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  }
  await cache.put(url, new Response(bytes, { headers: { ...Object.fromEntries(old.headers), ...headers, ...more } }));
}"""
FAULTS: tuple[tuple[dict[str, str], str, str], ...] = (
    ({}, "corrupt", "damaged"),
    ({}, "short", "wrong size"),
    ({}, "long", "wrong size"),
    # Its hash is right and its inside is not Python's memory: the interpreter refuses it.
    ({}, "foreign", "magic"),
    ({"x-guyline-build": "f" * 16}, "", "another build"),
    ({"x-guyline-core": "0" * 64}, "", "another core"),
    ({"x-guyline-snapshot": "0"}, "", "another form"),
)


def _started(page: Page) -> tuple[dict[str, Any], dict[str, Any]]:
    """Load again; how the core was started, and an answer that must be right."""
    page.reload()
    answer = ask(page, OPERATION, REQUEST)
    here = json.loads(handle(json.dumps({"id": 1, "operation": OPERATION, "payload": REQUEST})))
    assert answer["value"] == here["value"]
    core_state(page, "ready")
    return page.evaluate(_HOW), answer


def test_the_next_start_is_from_memory_and_from_a_bad_one_never(
    server: Running, context: BrowserContext, built: Built
) -> None:
    page = context.new_page()
    page.goto(server.address)
    offline_state(page, "ready")
    assert _started(page)[0] == {"from": "plain", "why": None}, "missing"
    assert page.evaluate(_MAKE) == "kept"
    page.evaluate(_SET_ASIDE, [built.build_id])
    assert _started(page)[0] == {"from": "snapshot", "why": None}
    for headers, spoil, said in FAULTS:
        page.evaluate(_PUT_BACK, [built.build_id, headers, spoil])
        how, _ = _started(page)
        assert how["from"] == "plain", (headers, spoil)
        assert said in how["why"]
    assert page.evaluate(_MAKE) == "kept", "the bad one was thrown away, and a new one is made"


def test_from_memory_without_server_everything_is_there(
    server: Running, context: BrowserContext, built: Built
) -> None:
    page = context.new_page()
    page.goto(server.address)
    offline_state(page, "ready")
    core_state(page, "ready")
    assert page.evaluate(_MAKE) == "kept"
    own = [key for key in page.evaluate("caches.keys()") if key.startswith("guyline-")]
    assert own == [f"guyline-{built.build_id}"], "it lives and goes with its build"
    server.stop()
    how, answer = _started(page)
    assert how["from"] == "snapshot"
    assert answer["provenance"]["build_id"] == built.build_id
    codes = [ask(page, "demo_cases", {})["value"]["cases"] for _ in range(2)]
    assert len(codes[0]) == len(codes[1])
    assert core_state(page, "ready", "failed", key="numpy")["numpy"] == "ready"
    assert offline_state(page, "ready")["bad"] == []


def test_a_question_ends_the_making_and_a_device_that_cannot_is_not_asked_again(
    server: Running, context: BrowserContext, built: Built
) -> None:
    page = context.new_page()
    page.goto(server.address)
    offline_state(page, "ready")
    core_state(page, "ready")
    outcome = page.evaluate("""async ([operation, request]) => {
      const { makeSnapshot } = await import(new URL("worker/snapshot.js", document.baseURI).href);
      const { ask } = await import(new URL("worker/client.js", document.baseURI).href);
      const RealWorker = window.Worker;
      const begun = new Promise((resolve) => {
        window.Worker = class extends RealWorker {
          constructor(...words) { super(...words); resolve(this); }
        };
      });
      const making = makeSnapshot();
      await begun;
      window.Worker = RealWorker;
      await new Promise((resolve) => setTimeout(resolve));
      const { value } = await ask(operation, request);
      return { making: await making, answered: Boolean(value) };
    }""", [OPERATION, REQUEST])
    assert outcome == {"making": "interrupted", "answered": True}
    page.evaluate("() => { navigator.storage.estimate = async () => ({ quota: 3e8, usage: 2e8 }); }")
    assert page.evaluate(_MAKE) == "impossible", "records come first where room is short"
    page.evaluate("""([build]) => import(new URL("worker/kept-snapshot.js", document.baseURI).href)
      .then((module) => module.refuse(build, "too large"))""", [built.build_id])
    assert page.evaluate(_MAKE) == "refused"
    assert _started(page)[0] == {"from": "plain", "why": None}


def test_where_the_app_is_not_kept_no_memory_is(app_url: str, new_context: Any) -> None:
    plain = new_context(service_workers="block").new_page()
    plain.goto(app_url)
    core_state(plain, "ready")
    assert plain.evaluate(_MAKE) == "impossible"
