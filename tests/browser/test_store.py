"""The records on the device: saved or said not to be, logged for good, there after a reload."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from pycore.records import codes

CODE = "3333-3333"

@pytest.fixture
def context(new_context: Callable[..., BrowserContext]) -> BrowserContext:
    """Without the service worker: these tests need no copy of the app on the device."""
    return new_context(service_workers="block")


@pytest.fixture
def opened(page: Page, app_url: str) -> Page:
    """The app, open on its list of eyes."""
    page.goto(app_url)
    expect(page.get_by_role("heading", name="Eyes")).to_be_visible()
    return page


def run(page: Page, body: str) -> Any:
    """Run ``body`` with ``store``, ``make`` and ``break_`` in the page; the value comes back."""
    return page.evaluate("""async () => {
      const from = (path) => import(new URL(path, document.baseURI).href);
      const { openStore } = await from("store/store.js");
      const { newCase } = await from("store/new-case.js");
      const store = window.theStore ??= await openStore();
      if (!window.told) {
        window.told = [];
        for (const name of ["change", "saved", "not-saved"]) {
          store.addEventListener(name, (event) => window.told.push({ name, ...event.detail }));
        }
      }
      const make = (code, more = {}) => store.create({ ...newCase({ code, eye: "left", person: null }), ...more });
      const whole = IDBDatabase.prototype.transaction;
      const break_ = (times) => {
        IDBDatabase.prototype.transaction = function (...given) {
          if (times-- > 0) throw new DOMException("Connection to the storage was lost", "InvalidStateError");
          return whole.apply(this, given);
        };
        return () => { IDBDatabase.prototype.transaction = whole; };
      };
      const refusal = (promise) => promise.then(() => null, (reason) => reason.message);
      """ + body + "}")


# ---- saving ----------------------------------------------------------------------------------


def test_a_commit_is_in_the_record_and_in_the_log(opened: Page) -> None:
    log = run(opened, f"""
      await make("{CODE}");
      await store.commit("{CODE}", "measurements.axial_length_mm", 23.456);
      await store.commit("{CODE}", "measurements.axial_length_mm", 24.1);
      const record = await store.read("{CODE}");
      return {{ value: record.measurements.axial_length_mm, log: await store.log("{CODE}") }};""")
    assert log["value"] == 24.1
    lines = [(line["kind"], line["path"], line["from"], line["to"]) for line in log["log"][1:]]
    path = "measurements.axial_length_mm"
    assert lines == [("set", path, None, 23.456), ("set", path, 23.456, 24.1)]
    assert all(line["at"] and line["build"] for line in log["log"])


def test_the_log_only_grows(opened: Page) -> None:
    before, after = run(opened, f"""
      await make("{CODE}");
      await store.commit("{CODE}", "plan.target_d", -0.5);
      const before = await store.log("{CODE}");
      await store.undo("{CODE}");
      await store.commit("{CODE}", "plan.target_d", -1);
      await store.append("{CODE}", "readings", {{ refraction_d: -1 }});
      await store.undo("{CODE}");
      return [before, await store.log("{CODE}")];""")
    assert after[: len(before)] == before
    assert [line["kind"] for line in after] == ["create", "set", "set", "set", "append", "set"]


def test_undo_puts_a_value_back_once(opened: Page) -> None:
    value, refused = run(opened, f"""
      await make("{CODE}");
      await store.commit("{CODE}", "plan.target_d", -0.5);
      await store.commit("{CODE}", "plan.target_d", -5);
      await store.undo("{CODE}");
      return [(await store.read("{CODE}")).plan.target_d, await refusal(store.undo("{CODE}"))];""")
    assert value == -0.5
    assert "nothing to undo" in refused


def test_an_undone_reading_is_withdrawn_and_not_deleted(opened: Page) -> None:
    readings = run(opened, f"""
      await make("{CODE}");
      await store.append("{CODE}", "readings", {{ refraction_d: 2 }});
      await store.undo("{CODE}");
      return (await store.read("{CODE}")).readings;""")
    assert len(readings) == 1
    assert readings[0]["refraction_d"] == 2
    assert readings[0]["withdrawn"]["reason"]


@pytest.mark.parametrize("path", ["haptic_log", "decisions", "readbacks"])
def test_what_was_done_is_not_undone(opened: Page, path: str) -> None:
    refused = run(opened, f"""
      await make("{CODE}");
      await store.append("{CODE}", "{path}", {{ length_mm: 1 }});
      return refusal(store.undo("{CODE}"));""")
    assert "nothing to undo" in refused


def test_a_lost_connection_is_opened_again(opened: Page) -> None:
    value, lines = run(opened, f"""
      await make("{CODE}");
      const mend = break_(1);
      await store.commit("{CODE}", "plan.target_d", -0.5);
      mend();
      return [(await store.read("{CODE}")).plan.target_d, (await store.log("{CODE}")).length];""")
    assert (value, lines) == (-0.5, 2)


def test_a_commit_that_arrived_but_was_not_heard_of_is_logged_once(opened: Page) -> None:
    refused, lines = run(opened, f"""
      await make("{CODE}");
      let deaf = true;
      IDBDatabase.prototype.transaction = function (...given) {{
        const transaction = whole.apply(this, given);
        if (deaf) transaction.addEventListener("complete", (event) => {{
          event.stopImmediatePropagation();
          transaction.dispatchEvent(new Event("abort"));
        }});
        deaf = false;
        return transaction;
      }};
      const refused = await refusal(store.commit("{CODE}", "plan.target_d", -0.5));
      IDBDatabase.prototype.transaction = whole;
      return [refused, (await store.log("{CODE}")).length];""")
    assert (refused, lines) == (None, 2)


def test_what_cannot_be_saved_is_said(opened: Page) -> None:
    told = run(opened, f"""
      await make("{CODE}");
      const mend = break_(1000);
      const why = await refusal(store.commit("{CODE}", "plan.target_d", -0.5));
      const settled = await store.settled();
      mend();
      const record = await store.read("{CODE}");
      return {{ why, settled, value: record.plan.target_d ?? null, lines: (await store.log("{CODE}")).length, told: window.told }};""")
    assert "lost" in told["why"]
    assert told["settled"] is False
    assert told["value"] is None
    assert told["lines"] == 1
    last = told["told"][-1]
    assert (last["name"], last["path"], last["value"]) == ("not-saved", "plan.target_d", -0.5)


def test_a_record_of_a_newer_version_is_not_changed(opened: Page) -> None:
    refused = run(opened, f"""
      await make("{CODE}", {{ schema: 99 }});
      return refusal(store.commit("{CODE}", "plan.target_d", -0.5));""")
    assert "newer version" in refused


def test_a_removed_eye_can_be_put_back(opened: Page) -> None:
    gone, back = run(opened, f"""
      await make("{CODE}");
      await store.commit("{CODE}", "plan.target_d", -0.5);
      await store.remove("{CODE}");
      const gone = await store.read("{CODE}");
      await store.restore("{CODE}");
      return [gone, (await store.read("{CODE}")).plan.target_d];""")
    assert (gone, back) == (None, -0.5)


def test_a_demo_eye_goes_with_its_log(opened: Page) -> None:
    left = run(opened, f"""
      await make("{CODE}", {{ demo: true }});
      await store.draft("{CODE}", "plan.target_d", "-1");
      await store.remove("{CODE}");
      return [await store.read("{CODE}"), (await store.log("{CODE}")).length, await store.drafts("{CODE}")];""")
    assert left == [None, 0, {}]


def test_a_commit_ends_the_draft_of_its_own_path(opened: Page) -> None:
    drafts = run(opened, f"""
      await make("{CODE}");
      for (const path of ["plan.target_d", "plan.meridian_deg", "new.reading.sphere_d"]) await store.draft("{CODE}", path, "1");
      await store.commit("{CODE}", "plan.target_d", -1);
      await store.append("{CODE}", "readings", {{ refraction_d: -1 }}, {{ clear: "new.reading." }});
      return store.drafts("{CODE}");""")
    assert drafts == {"plan.meridian_deg": "1"}


# ---- codes -----------------------------------------------------------------------------------


def test_codes_follow_the_rule_of_the_core(opened: Page) -> None:
    made = opened.evaluate("""async () => {
      const { newCode } = await import(new URL("store/codes.js", document.baseURI).href);
      return Array.from({ length: 300 }, () => newCode());
    }""")
    assert all(codes.is_code(code) for code in made)
    assert len(set(made)) == 300


def test_typed_codes_are_judged_as_by_the_core(opened: Page) -> None:
    right = codes.new_code()
    swapped = next(right[:i] + right[i + 1] + right[i] + right[i + 2:]
                   for i in range(8) if "-" not in right[i:i + 2] and right[i] != right[i + 1])
    typed = [right, right.lower().replace("-", " "), swapped, right[:-1], f"O{right[1:]}"]
    judged = opened.evaluate("""async (typed) => {
      const { readCode } = await import(new URL("store/codes.js", document.baseURI).href);
      return typed.map((text) => readCode(text));
    }""", typed)
    assert judged[:2] == [{"code": right}, {"code": right}]
    assert "two are swapped" in judged[2]["message"]
    assert "7 were typed" in judged[3]["message"]
    assert "Is it D?" in judged[4]["message"]


# ---- over reloads and windows ----------------------------------------------------------------


def new_eye(page: Page) -> str:
    """Add a left eye on screen; returns its address."""
    page.get_by_role("link", name="New eye").click()
    page.get_by_text("Left eye", exact=True).click()
    page.get_by_role("button", name="Add this left eye").click()
    page.wait_for_url(re.compile(r"#/eye/.*/plan$"))
    return page.url


def axial_length(page: Page) -> Any:
    return page.get_by_role("textbox", name="Axial length")


def test_a_value_is_there_after_a_reload(opened: Page) -> None:
    new_eye(opened)
    axial_length(opened).fill("23,456")
    axial_length(opened).blur()
    expect(opened.get_by_text("Axial length: 23.46 mm saved")).to_be_visible()
    opened.reload()
    expect(axial_length(opened)).to_have_value("23.456")


def test_a_draft_is_there_after_a_reload(opened: Page) -> None:
    new_eye(opened)
    axial_length(opened).press_sequentially("23,")
    expect(axial_length(opened)).to_have_value("23,")
    opened.wait_for_timeout(300)
    opened.reload()
    expect(axial_length(opened)).to_have_value("23,")


def test_the_app_opens_where_it_was_left(opened: Page, app_url: str) -> None:
    address = new_eye(opened)
    expect(axial_length(opened)).to_be_attached()
    opened.locator("main").evaluate("(main) => main.scrollTo({ top: 500 })")
    opened.wait_for_timeout(600)
    opened.goto("about:blank")
    opened.goto(app_url)
    expect(axial_length(opened)).to_be_attached()
    assert opened.url == address
    opened.wait_for_timeout(500)
    assert abs(opened.locator("main").evaluate("(main) => main.scrollTop") - 500) <= 2


def test_nothing_is_carried_over_from_another_eye(opened: Page, app_url: str) -> None:
    first = new_eye(opened)
    axial_length(opened).press_sequentially("23,")
    opened.goto(f"{app_url}#/eyes")
    expect(opened.get_by_role("heading", name="Eyes")).to_be_visible()
    second = new_eye(opened)
    assert second != first
    expect(axial_length(opened)).to_have_value("")
    opened.evaluate("(address) => { location.href = address; }", first)
    expect(axial_length(opened)).to_have_value("23,")


def test_another_window_shows_the_change(opened: Page, context: BrowserContext) -> None:
    address = new_eye(opened)
    other = context.new_page()
    other.goto(address)
    expect(axial_length(other)).to_have_value("")
    axial_length(opened).fill("23.5")
    axial_length(opened).blur()
    expect(axial_length(other)).to_have_value("23.50")
    expect(other.get_by_text("Changed in another window")).to_be_visible()


def test_undo_on_screen(opened: Page) -> None:
    new_eye(opened)
    axial_length(opened).fill("23.5")
    axial_length(opened).blur()
    opened.get_by_role("button", name="Undo").click()
    expect(axial_length(opened)).to_have_value("")
    expect(opened.get_by_text("Undone. Axial length: empty")).to_be_visible()


def test_a_full_device_is_told_with_the_value_still_on_screen(opened: Page) -> None:
    new_eye(opened)
    expect(axial_length(opened)).to_be_attached()
    opened.evaluate("""() => {
      window.whole = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function () { throw new DOMException("The device is full", "QuotaExceededError"); };
    }""")
    axial_length(opened).fill("23.5")
    axial_length(opened).blur()
    expect(opened.get_by_text("The device is full")).to_be_visible()
    expect(opened.get_by_text("Not saved. What you typed is still here.")).to_be_visible()
    expect(axial_length(opened)).to_have_value("23.5")
    opened.evaluate("() => { IDBObjectStore.prototype.put = window.whole; }")
    opened.get_by_role("button", name="Save again").click()
    expect(opened.get_by_text("Axial length: 23.50 mm saved")).to_be_visible()
    expect(opened.get_by_text("The device is full")).to_have_count(0)
