"""The records under what a phone does to them: a lost database, a damaged row, two windows."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.store_page import CODE, OTHER, run


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


_TAMPER = """async ([name, change]) => new Promise((done, fail) => {
  const asked = indexedDB.open(name);
  asked.onerror = () => fail(asked.error);
  asked.onsuccess = () => {
    const transaction = asked.result.transaction(["eyes", "log"], "readwrite");
    const eyes = transaction.objectStore("eyes");
    const log = transaction.objectStore("log");
    changes[change](eyes, log);
    transaction.oncomplete = () => { asked.result.close(); done(null); };
  };
  const changes = {
    "lost": (eyes, log) => { eyes.clear(); log.clear(); },
    "cut": (eyes) => eyes.put({ code: "CODE", schema: 1, readings: "none" }),
    "behind": (eyes, log) => {
      const last = log.openCursor(null, "prev");
      last.onsuccess = () => last.result?.delete();
    },
  };
})""".replace("CODE", CODE)


def tamper(page: Page, change: str) -> None:
    """Do to the database what a failing phone does, and come back to the app."""
    page.evaluate(_TAMPER, ["guyline", change])
    page.reload()


def test_a_lost_store_is_not_taken_for_a_first_start(opened: Page) -> None:
    expect(opened.locator("gl-banner[kind=stop]")).to_have_count(0)
    run(opened, f"""await make("{CODE}"); await store.commit("{CODE}", "plan.target_d", -0.5);
      while (!(await caches.has("second-copy"))) await new Promise((go) => setTimeout(go, 10));""")
    expect(opened.get_by_text(CODE)).to_be_visible()
    tamper(opened, "lost")
    expect(opened.get_by_text("The records are gone from this device")).to_be_visible()
    expect(opened.get_by_text("One eye was here at the last save")).to_be_visible()
    opened.get_by_role("button", name="Take the second copy").click()
    expect(opened.get_by_text("The records are gone from this device")).to_have_count(0)
    expect(opened.get_by_role("link", name=CODE)).to_be_visible()
    assert run(opened, f'return (await store.read("{CODE}")).plan.target_d;') == -0.5


def test_a_lost_change_is_found_in_the_second_copy(opened: Page) -> None:
    run(opened, f"""await make("{CODE}"); await store.commit("{CODE}", "plan.target_d", -0.5);
      const {{ readCopy }} = await from("store/copy.js");
      while ((await readCopy())?.row.plan.target_d !== -0.5) await new Promise((go) => setTimeout(go, 10));""")
    tamper(opened, "behind")
    expect(opened.get_by_text(f"{CODE}: the last change is missing")).to_be_visible()
    opened.get_by_role("button", name="Take the second copy").click()
    expect(opened.get_by_text("the last change is missing")).to_have_count(0)
    kinds = run(opened, f'return (await store.log("{CODE}")).map((line) => line.kind);')
    assert kinds == ["create", "restore"]


def test_a_damaged_record_is_shown_exported_and_put_together_from_its_log(opened: Page) -> None:
    run(opened, f"""await make("{CODE}"); await make("{OTHER}");
      await store.commit("{CODE}", "plan.target_d", -0.5);
      await store.append("{CODE}", "readings", {{ refraction_d: -1 }});""")
    tamper(opened, "cut")
    expect(opened.get_by_text(f"{CODE} is damaged")).to_be_visible()
    expect(opened.get_by_role("link", name=OTHER)).to_be_visible()
    refused = run(opened, f'return refusal(store.commit("{CODE}", "plan.target_d", 2));')
    assert refused["code"] == "damaged"
    with opened.expect_download() as waiting:
        opened.get_by_role("button", name="Save it as a file").click()
    assert waiting.value.suggested_filename == f"guyline-damaged-{CODE}.json"
    opened.get_by_role("button", name="Put it together from its log").click()
    expect(opened.get_by_role("link", name=CODE)).to_be_visible()
    record = run(opened, f'return store.read("{CODE}");')
    assert (record["plan"]["target_d"], record["readings"][0]["refraction_d"]) == (-0.5, -1)


def test_a_newer_record_is_read_only_on_screen(opened: Page, app_url: str) -> None:
    run(opened, f"""await make("{CODE}", {{ schema: 99 }});""")
    opened.goto(f"{app_url}#/eye/{CODE}/plan")
    expect(opened.get_by_text("Read only")).to_be_visible()
    box = opened.get_by_role("textbox", name="Axial length")
    box.fill("23.5")
    box.blur()
    expect(opened.get_by_text("Not saved. What you typed is still here.")).to_be_visible()
    expect(box).to_have_value("23.5")


def test_a_second_window_on_the_same_eye_is_told(opened: Page, app_url: str, context: BrowserContext) -> None:
    run(opened, f'await make("{CODE}");')
    opened.goto(f"{app_url}#/eye/{CODE}/plan")
    expect(opened.get_by_role("textbox", name="Axial length")).to_be_visible()
    other = context.new_page()
    other.goto(f"{app_url}#/eye/{CODE}/plan")
    for window in (opened, other):
        expect(window.get_by_text("Open in another window too")).to_be_visible()
    other.goto(f"{app_url}#/eyes")
    expect(opened.get_by_text("Open in another window too")).to_have_count(0)


def test_two_windows_at_once_lose_nothing(opened: Page, app_url: str, context: BrowserContext) -> None:
    run(opened, f'await make("{CODE}");')
    other = context.new_page()
    other.goto(app_url)
    expect(other.get_by_role("heading", name="Eyes")).to_be_visible()
    work = f"""window.made = Promise.all(Array.from({{ length: 8 }}, (_one, at) =>
      store.append("{CODE}", "readings", {{ refraction_d: at }})));"""
    run(opened, work)
    run(other, work)
    for window in (opened, other):
        window.evaluate("window.made.then(() => null)")
    counts = run(opened, f"""return [(await store.read("{CODE}")).readings.length,
      (await store.log("{CODE}")).length];""")
    assert counts == [16, 17]


def test_what_the_core_calls_the_schema_is_what_the_store_writes(opened: Page) -> None:
    from pycore.records.case import SCHEMA
    assert run(opened, 'return (await from("store/store.js")).SCHEMA;') == SCHEMA


def test_no_answer_from_the_storage_is_said(opened: Page, app_url: str) -> None:
    run(opened, f'await make("{CODE}"); store.database.wait_ms = 500; window.database = store.database;')
    opened.goto(f"{app_url}#/eye/{CODE}/plan")
    box = opened.get_by_role("textbox", name="Axial length")
    expect(box).to_be_visible()
    opened.evaluate("""() => { window.whole = IDBDatabase.prototype.transaction;
      IDBDatabase.prototype.transaction = function (...given) {
        const made = window.whole.apply(this, given);
        if (given[1] === "readwrite") Object.defineProperty(made, "objectStore", { value: () => new Proxy({}, {
          get: () => () => new Promise(() => {}) }) });
        return made;
      }; }""")
    box.fill("23.5")
    box.blur()
    expect(opened.get_by_text("Not saved. What you typed is still here.")).to_be_visible()
    opened.evaluate("() => { IDBDatabase.prototype.transaction = window.whole; window.database.wait_ms = 8000; }")
    opened.get_by_role("button", name="Save again").click()
    expect(opened.get_by_text("Axial length: 23.50 mm saved")).to_be_visible()
