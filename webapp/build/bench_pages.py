"""Pages to measure on: the app on one engine and, from the same kind of server, bare Pyodide."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol

from . import assemble, browser, webdriver
from .serve import Running
from .wheels import pyodide_folder, wheel

BARE_FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json")
BARE_PAGE = '<!doctype html><meta charset="utf-8"><title>bare</title>'
BARE_WORKER = """onmessage = async ({ data }) => {
  const { loadPyodide } = await import(data + "pyodide.mjs");
  const python = await loadPyodide({ indexURL: data, enableRunUntilComplete: false });
  python.runPython("1 + 1");
  postMessage("booted");
  await python.loadPackage("numpy", { messageCallback: () => {} });
  python.runPython("import numpy");
  postMessage("numpy");
};"""


class Page(Protocol):
    """What both engines' pages can do."""

    def goto(self, address: str) -> None: ...
    def reload(self) -> None: ...
    def evaluate(self, function: str, *arguments: object) -> Any: ...


class ChromiumPage:
    """Playwright's page with the same three verbs."""

    def __init__(self, page: Any) -> None:
        self._page = page

    def goto(self, address: str) -> None:
        self._page.goto(address, wait_until="commit")

    def reload(self) -> None:
        self._page.reload(wait_until="commit")

    def evaluate(self, function: str, *arguments: object) -> Any:
        return self._page.evaluate(f"(given) => ({function})(...given)", list(arguments))


@contextmanager
def chromium() -> Iterator[ChromiumPage]:
    """A fresh Chromium."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=browser.find(), args=list(browser.FLAGS))
        page = started.new_context().new_page()
        page.set_default_timeout(180_000)
        yield ChromiumPage(page)
        started.close()


@contextmanager
def webkit() -> Iterator[webdriver.Page]:
    """A fresh WebKit."""
    with webdriver.webkit(script_s=180.0) as page:
        yield page


ENGINES: dict[str, Callable[[], Any]] = {"chromium": chromium, "webkit": webkit}


@contextmanager
def servers(folder: Path) -> Iterator[tuple[Running, Running]]:
    """(the app, bare Pyodide): two origins, so that neither serves the other from its cache."""
    own = Running(assemble.build(folder / "dist").folder)
    bare = Running(_bare(folder / "bare"))
    yield own, bare
    own.stop()
    bare.stop()


def _bare(folder: Path) -> Path:
    """The untouched Pyodide and numpy."""
    folder.mkdir()
    for path in (*(pyodide_folder() / name for name in BARE_FILES), wheel("numpy")):
        shutil.copyfile(path, folder / path.name)
    (folder / "index.html").write_text(BARE_PAGE)
    (folder / "worker.js").write_text(BARE_WORKER)
    return folder
