"""The app's own store, driven from a page: what the tests of storage have in common."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

#: Codes by the app's rule, invented.
CODE, OTHER = "3333-3333", "4444-4444"

_RUN = """async (given) => {
  const from = (path) => import(new URL(path, document.baseURI).href);
  const { openStore } = await from("store/store.js");
  const { newCase } = await from("store/new-case.js");
  const shell = document.querySelector("gl-shell");
  const store = shell?.store ?? (window.theStore ??= await openStore());
  const make = (code, more = {}) => store.create({ ...newCase({ code, eye: "left", person: null }), ...more });
  const refusal = (promise) => promise.then(() => null, (reason) => ({ code: reason.code ?? reason.name, message: reason.message }));
  BODY
}"""


def run(page: Page, body: str, **given: Any) -> Any:
    """Run ``body`` with the app's ``store``, ``make``, ``from``, ``refusal`` and ``given``."""
    return page.evaluate(_RUN.replace("BODY", body), given)
