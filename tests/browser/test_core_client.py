"""The page's way to the core: answers, named errors, hangs, numpy."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page

from pycore.api import handle
from tests.browser.page_state import ask, core_state
from webapp.build.assemble import Built
from webapp.build.serve import Running

OPERATION, REQUEST = "vergence_power", {
    "present_refraction_d": 12.0, "target_d": -0.5, "k_d": 43.0, "lens_position_mm": 5.2,
}


@pytest.fixture
def plain(new_context: Callable[..., BrowserContext]) -> Page:
    """A page that reads straight from the server, so that files can be changed."""
    return new_context(service_workers="block").new_page()


def test_the_answer_is_the_core_s(app_url: str, plain: Page, built: Built) -> None:
    plain.goto(app_url)
    answer = ask(plain, OPERATION, REQUEST)
    here = json.loads(handle(json.dumps({"id": 1, "operation": OPERATION, "payload": REQUEST})))
    assert answer["value"]["power_d"] == pytest.approx(here["value"]["power_d"], rel=1e-12)
    assert answer["provenance"]["build_id"] == built.build_id
    assert answer["warnings"] == here["warnings"]


def test_a_named_error_keeps_its_field(app_url: str, plain: Page) -> None:
    plain.goto(app_url)
    answer = ask(plain, OPERATION, {**REQUEST, "k_d": "steep"})
    assert (answer["code"], answer["field"]) == ("wrong_type", "k_d")


def test_a_number_that_is_none_never_leaves_the_page(app_url: str, plain: Page) -> None:
    plain.goto(app_url)
    answer = plain.evaluate("""async () => {
      const { ask } = await import(new URL("worker/client.js", document.baseURI).href);
      return ask("audit", { rows: [{ predicted_d: 0 }, { predicted_d: NaN }] }).catch(
        (reason) => ({ code: reason.code, field: reason.field }));
    }""")
    assert answer == {"code": "not_finite", "field": "rows[1].predicted_d"}


def test_the_newest_question_comes_first_and_each_gets_its_own_answer(app_url: str, plain: Page) -> None:
    plain.goto(app_url)
    powers = plain.evaluate("""async ([operation, request]) => {
      const { ask, status } = await import(new URL("worker/client.js", document.baseURI).href);
      while (status.state !== "ready") await new Promise((go) => status.addEventListener("change", go, { once: true }));
      const order = [];
      const one = async (k_d, options) => {
        const { value } = await ask(operation, { ...request, k_d }, options);
        order.push(k_d);
        return value.power_d;
      };
      const values = await Promise.all([
        one(39), one(40), one(41, { background: true }), one(42), one(43, { background: true }), one(44)]);
      return { order, values };
    }""", [OPERATION, REQUEST])
    assert powers["order"] == [39, 44, 42, 40, 41, 43]
    assert powers["values"] == pytest.approx([_power_d(k_d) for k_d in range(39, 45)], rel=1e-12)


def _power_d(k_d: float) -> float:
    request = {"id": 1, "operation": OPERATION, "payload": {**REQUEST, "k_d": k_d}}
    power_d: float = json.loads(handle(json.dumps(request)))["value"]["power_d"]
    return power_d


def test_a_withdrawn_question_is_never_asked(app_url: str, plain: Page) -> None:
    plain.goto(app_url)
    name = plain.evaluate("""async ([operation, request]) => {
      const { ask } = await import(new URL("worker/client.js", document.baseURI).href);
      const control = new AbortController();
      const first = ask("describe", {});
      const second = ask(operation, request, { signal: control.signal });
      control.abort();
      await first;
      return second.then(() => "answered", (reason) => reason.name);
    }""", [OPERATION, REQUEST])
    assert name == "AbortError"


def test_numpy_arrives_by_itself_after_the_first_answer(app_url: str, plain: Page) -> None:
    plain.goto(app_url)
    ask(plain, OPERATION, REQUEST)
    assert core_state(plain, "ready", "failed", key="numpy")["numpy"] == "ready"


def test_an_operation_that_needs_numpy_waits_for_it(app_url: str, plain: Page) -> None:
    plain.goto(app_url)
    request = {
        "axial_length_mm": 24.0, "k1_d": 43.0, "k2_d": 43.0, "lens_power_d": 20.0,
        "lens_index": 1.49, "tilt_deg": 5.0, "tilt_axis_deg": 90.0, "decentre_mm": 0.2,
        "decentre_axis_deg": 0.0, "pupil_mm": 3.0,
    }
    first, second = (ask(plain, "tilt", request, waitForNumpy=wait) for wait in (False, True))
    assert first["code"] == "numpy_not_ready"
    assert "sphere_d" in second["value"]


STUCK = """self.onmessage = ({ data }) => {
  if (data.type === "start") self.postMessage({ type: "ready", build: "%s" });
};"""


def _replace_worker(folder: Path, text: str) -> None:
    (folder / "worker" / "worker.js").write_text(text)


def test_a_hang_ends_with_a_name_and_a_new_start(server: Running, plain: Page, built: Built) -> None:
    _replace_worker(server.folder, STUCK % built.build_id)
    plain.goto(server.address)
    core_state(plain, "ready")
    result = plain.evaluate("""async ([operation, request]) => {
      const client = await import(new URL("worker/client.js", document.baseURI).href);
      client.startCore({ answer_ms: 300 });
      const states = [];
      client.status.addEventListener("change", () => states.push(client.status.state));
      const asked = [1, 2].map(() => client.ask(operation, request).catch((reason) => reason.code));
      return { codes: await Promise.all(asked), states };
    }""", [OPERATION, REQUEST])
    assert result["codes"] == ["core_restarted", "core_restarted"]
    assert result["states"][:2] == ["ready", "starting"]
    assert core_state(plain, "ready")["state"] == "ready"


def test_a_core_of_another_build_is_refused(server: Running, plain: Page) -> None:
    _replace_worker(server.folder, STUCK % "0123")
    plain.goto(server.address)
    state = core_state(plain, "failed")
    assert "different versions" in state["why"]
    assert ask(plain, OPERATION, REQUEST)["code"] == "core_failed"


@pytest.mark.parametrize(
    ("name", "said"),
    [("core/pycore.zip", "core/pycore.zip is missing"), ("worker/worker.js", "worker file")],
)
def test_a_missing_file_is_said_in_plain_words(
    server: Running, plain: Page, name: str, said: str
) -> None:
    (server.folder / name).unlink()
    plain.goto(server.address)
    assert said in core_state(plain, "failed")["why"]


def test_the_page_breaks_no_rule_of_its_policy(app_url: str, plain: Page) -> None:
    plain.add_init_script("""
      window.broken = [];
      document.addEventListener("securitypolicyviolation",
        (event) => window.broken.push(`${event.violatedDirective} ${event.blockedURI}`));
    """)
    plain.goto(app_url)
    ask(plain, OPERATION, REQUEST)
    assert plain.evaluate("window.broken") == []


def test_the_policy_stops_a_message_to_another_origin(app_url: str, plain: Page) -> None:
    plain.goto(app_url)
    outcome = plain.evaluate("""async () => {
      const heard = new Promise((resolve) => document.addEventListener("securitypolicyviolation",
        (event) => resolve(event.violatedDirective), { once: true }));
      fetch("https://example.invalid/").catch(() => {});
      return heard;
    }""")
    assert outcome == "connect-src"
