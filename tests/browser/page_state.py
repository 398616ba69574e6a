"""Waits for states of the app's own modules; no test code runs inside the page's policy.

The policy forbids evaluating text in the page, so nothing here uses wait_for_function.
"""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

WAIT_MS = 60_000

_OFFLINE = """async ([names, ms]) => {
  const { offline } = await import(new URL("store/offline.js", document.baseURI).href);
  return new Promise((resolve) => {
    const end = (late) => resolve({ ...offline.state, bad: offline.bad, update: offline.updateReady,
      sentence: offline.sentence, late });
    const look = () => { if (names.includes(offline.state.name)) end(false); };
    offline.addEventListener("change", look);
    setTimeout(() => end(true), ms);
    look();
  });
}"""

_CORE = """async ([names, ms, key]) => {
  const { status } = await import(new URL("worker/client.js", document.baseURI).href);
  return new Promise((resolve) => {
    const end = (late) => resolve({ state: status.state, why: status.why, numpy: status.numpy,
      build: status.build, late });
    const look = () => { if (names.includes(status[key])) end(false); };
    status.addEventListener("change", look);
    setTimeout(() => end(true), ms);
    look();
  });
}"""

_ASK = """async ([operation, payload, options]) => {
  const { ask } = await import(new URL("worker/client.js", document.baseURI).href);
  const start = performance.now();
  try {
    return { ...await ask(operation, payload, options), ms: performance.now() - start };
  } catch (reason) {
    return { code: reason.code ?? reason.name, field: reason.field, message: reason.message };
  }
}"""


def offline_state(page: Page, *names: str, ms: int = WAIT_MS) -> dict[str, Any]:
    """The state of the kept files, once it is one of ``names``."""
    state: dict[str, Any] = page.evaluate(_OFFLINE, [list(names), ms])
    assert not state["late"], f"waited for {names}, got {state}"
    return state


def core_state(page: Page, *names: str, key: str = "state", ms: int = WAIT_MS) -> dict[str, Any]:
    """The state of the core (or, with ``key="numpy"``, of numpy), once it is one of ``names``."""
    state: dict[str, Any] = page.evaluate(_CORE, [list(names), ms, key])
    assert not state["late"], f"waited for {names}, got {state}"
    return state


def ask(page: Page, operation: str, payload: Any, **options: Any) -> dict[str, Any]:
    """Ask the core from the page; the answer, or the named error as a dictionary."""
    answer: dict[str, Any] = page.evaluate(_ASK, [operation, payload, options])
    return answer
