"""Python does not start, hangs, is refused memory or breaks: eyes stay readable, values stay, a backup is made."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.hands import new_eye, number
from tests.browser.page_state import ask, core_state
from webapp.build.assemble import Built
from webapp.build.serve import Running

LENGTH = "measurements.axial_length_mm"
STUCK = """self.onmessage = ({ data }) => {
  if (data.type === "start") self.postMessage({ type: "ready", build: "%s" });
};"""
NO_MEMORY = """for (const name of ["instantiate", "instantiateStreaming"]) WebAssembly[name] = async () => {
  throw new RangeError("WebAssembly.Memory(): could not allocate memory"); };
"""
OPERATION, REQUEST = "vergence_power", {
    "present_refraction_d": 12.0, "target_d": -0.5, "k_d": 43.0, "lens_position_mm": 5.2,
}


@pytest.fixture
def page(new_context: Callable[..., BrowserContext]) -> Page:
    """A page that reads straight from the server, so that files can be changed."""
    return new_context(service_workers="block").new_page()


def _worker(server: Running) -> Path:
    return server.folder / "worker" / "worker.js"


def test_refused_memory_is_said_and_all_but_calculations_goes_on(server: Running, page: Page) -> None:
    sound = _worker(server).read_text()
    # Before the app's own modules, as a device would refuse it.
    (server.folder / "worker" / "refusal.js").write_text(NO_MEMORY)
    _worker(server).write_text(f'import "./refusal.js";\n{sound}')
    page.goto(server.address)
    expect(page.get_by_text("No calculations now")).to_be_visible()
    expect(page.get_by_text("refused the memory")).to_be_visible()
    code = new_eye(page, "left")
    number(page, LENGTH, "23.51")
    expect(page.get_by_text("Axial length: 23.51 mm saved")).to_be_visible()
    page.goto(f"{server.address}#/eyes")
    page.reload()
    page.get_by_role("link", name=code).click()
    expect(page.get_by_role("textbox", name="Axial length")).to_have_value("23.51")
    page.goto(f"{server.address}#/setup")
    with page.expect_download() as waiting:
        page.locator("gl-backup-card").get_by_role("button", name="Save the backup file").click()
    backup = json.loads(Path(waiting.value.path()).read_text())
    assert [eye["measurements"]["axial_length_mm"] for eye in backup["rows"]["eyes"]] == [23.51]
    _worker(server).write_text(sound)
    page.get_by_role("button", name="Start them again").click()
    assert core_state(page, "ready")["state"] == "ready"


def test_a_hang_keeps_what_was_entered_and_is_calculated_again(server: Running, page: Page, built: Built) -> None:
    sound = _worker(server).read_text()
    _worker(server).write_text(STUCK % built.build_id)
    page.goto(server.address)
    core_state(page, "ready")
    new_eye(page, "left")
    page.evaluate("""() => import(new URL("worker/client.js", document.baseURI).href)
      .then((client) => client.startCore({ answer_ms: 300 }))""")
    number(page, LENGTH, "23.51")
    expect(page.get_by_text("The calculation took too long and was stopped").first).to_be_visible()
    expect(page.get_by_role("textbox", name="Axial length")).to_have_value("23.51")
    _worker(server).write_text(sound)
    page.evaluate("""() => import(new URL("worker/client.js", document.baseURI).href)
      .then((client) => client.startCore({ answer_ms: 60_000 }))""")
    again = page.get_by_role("button", name="Calculate again")
    for left in reversed(range(again.count())):
        again.first.click()
        expect(again).to_have_count(left)
    expect(page.get_by_role("textbox", name="Axial length")).to_have_value("23.51")


def test_an_interpreter_that_breaks_is_started_anew(server: Running, page: Page) -> None:
    text = _worker(server).read_text()
    broken = text.replace("reply = handle(text);", f"""if (text.includes("{OPERATION}")) throw new WebAssembly.RuntimeError("memory access out of bounds");
    reply = handle(text);""")
    assert broken != text
    _worker(server).write_text(broken)
    page.goto(server.address)
    refused = ask(page, OPERATION, REQUEST)
    assert refused["code"] == "core_restarted"
    assert "out of memory" in refused["message"]
    assert "operations" in ask(page, "describe", {})["value"]
