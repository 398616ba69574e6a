"""From an old build to a new one: every way it can go, with the app's own service worker and page side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.page_state import offline_state
from tests.browser.small_builds import Site, small_build

META = 'meta[name="guyline-build"]'
OLD, NEW = "old0", "new1"
PATIENCE_MS = 60_000

#: Runs BODY with the page's own modules; what it waits for is looked at every 20 ms.
_RUN = """async (given) => {
  const from = (path) => import(new URL(path, document.baseURI).href);
  const { offline, request } = await from("store/offline.js");
  const update = await from("store/update.js");
  const until = async (test) => {
    for (let left = 3000; left > 0; left -= 1) {
      const found = await test();
      if (found) return found;
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    throw new Error(`waited too long for ${test}`);
  };
  const standing = () => request(navigator.serviceWorker.controller, "standing");
  BODY
}"""


def run(page: Page, body: str, given: Any = None) -> Any:
    return page.evaluate(_RUN.replace("BODY", body), given)


@pytest.fixture
def site(tmp_path: Path) -> Iterator[Site]:
    made = Site(tmp_path)
    made.publish(small_build(OLD, numbers=("The first number.",)))
    yield made
    made.stop()


def opened(context: BrowserContext, site: Site, *, busy: str = "") -> Page:
    """A window that runs from the device, its build proved; with ``busy`` it is at work."""
    page = context.new_page()
    page.goto(site.address)
    offline_state(page, "ready")
    run(page, "await until(async () => (await standing()).proved); sessionStorage.setItem('busy', given);", busy)
    return page


def fetched(page: Page) -> str:
    """Look for a newer version; ``ready``, or why it was not taken."""
    outcome: str = run(page, """
      if (await update.lookForUpdate() === "No answer from the server. It needs the network.") return "offline";
      return until(() => (offline.updateReady ? "ready" : offline.newer.name === "failed" ? offline.newer.why : ""));""")
    return outcome


def applied(page: Page) -> str:
    """What the page is told after asking for the new version; empty when it was loaded."""
    page.evaluate(_RUN.replace("BODY", """void update.applyUpdate().then((told) => {
      if (told) document.documentElement.dataset.told = told; });"""))
    page.locator(f'html[data-told], {META}[content="{NEW}"]').first.wait_for(state="attached", timeout=PATIENCE_MS)
    return page.locator("html").get_attribute("data-told") or ""


def build_of(page: Page) -> str | None:
    page.wait_for_load_state()
    return page.locator(META).get_attribute("content")


def spoil_waiting(page: Page) -> None:
    """One byte of the version that waits changes on the device."""
    page.evaluate("""async ([name]) => {
      const cache = await caches.open(name);
      const url = new URL("last.txt", document.baseURI).href;
      const old = await cache.match(url);
      await cache.put(url, new Response("damaged", { headers: old.headers }));
    }""", [f"guyline-{NEW}"])


@dataclass(frozen=True)
class Way:
    """One row of the matrix; what is not said is as it should be."""

    name: str
    cut: str = ""                # a file whose connection breaks in the middle
    wrong: str = ""              # a file with other bytes on the server
    offline: str = ""            # "before": no server while looking; "then": gone after the download
    damaged: bool = False        # a byte of the fetched version changes on the device
    here: str = ""               # what this window is at
    other: str | None = None     # what another window is at; None: there is none
    fetch: str = "ready"         # what looking for it ends with
    told: str = ""               # what asking for it ends with
    runs: str = NEW              # the build that runs at the end, here and in the other window


WAYS = [
    Way("old to new"),
    Way("interrupted download", cut="last.txt", fetch="Failed to fetch", runs=OLD),
    Way("wrong bytes on the server", wrong="last.txt", fetch="last.txt: the bytes are not this build's", runs=OLD),
    Way("no network", offline="before", fetch="offline", runs=OLD),
    Way("no network any more", offline="then"),
    Way("two windows, both at rest", other=""),
    Way("an eye is open here", here="Eye A is open.", told="Eye A is open.", runs=OLD),
    Way("an eye is open in the other window", other="Eye B is open.", told="Eye B is open.", runs=OLD),
    Way("something is unsaved in the other window", other="Something is not saved yet.",
        told="Something is not saved yet.", runs=OLD),
    Way("damaged on the device, repaired", damaged=True),
    Way("damaged on the device, no network", damaged=True, offline="then",
        told="The new version is not whole on this device", runs=OLD),
]


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.name)
def test_every_way_an_update_can_go(site: Site, context: BrowserContext, way: Way) -> None:
    page = opened(context, site, busy=way.here)
    windows = [page] if way.other is None else [page, opened(context, site, busy=way.other)]
    site.publish(small_build(NEW, numbers=("Another number.", "The first number.")))
    site.cut = {way.cut}
    if way.wrong:
        site.publish({way.wrong: b"other bytes"})
    if way.offline == "before":
        site.stop()
    assert way.fetch in fetched(page)
    assert [build_of(one) for one in windows] == [OLD] * len(windows), "nothing changes by itself"
    if way.offline == "then":
        site.stop()
    if way.damaged:
        spoil_waiting(page)
    if way.fetch == "ready":
        assert [one["text"] for one in run(page, "return update.comingNumbers();")] == ["Another number."]
        told = applied(page)
        assert way.told in told and bool(way.told) == bool(told)
    for one in windows:
        expect(one.locator(META)).to_have_attribute("content", way.runs, timeout=PATIENCE_MS)
    if not way.offline:
        site.stop()
    _runs_whole_without_network(page, way.runs)
    site.start()


def _runs_whole_without_network(page: Page, build: str) -> None:
    page.evaluate("sessionStorage.clear()")
    page.reload()
    assert build_of(page) == build
    run(page, "await until(() => offline.state.name !== 'starting' || navigator.serviceWorker.controller);")
    assert run(page, "await (await from('store/offline.js')).checkFiles(); return offline.state.name;") == "ready"
    if build == NEW:
        run(page, "await until(async () => (await caches.keys()).filter((one) => one.startsWith('guyline-')).length === 1);")


def test_an_interrupted_download_goes_on_where_it_stopped(site: Site, context: BrowserContext) -> None:
    page = opened(context, site)
    site.publish(small_build(NEW))
    site.cut = {"last.txt"}
    assert "Failed to fetch" in fetched(page)
    site.cut, site.asked = set(), []
    run(page, "offline.newer = { name: 'none' };")
    assert fetched(page) == "ready"
    assert "last.txt" in site.asked
    assert not {"first.txt", "main.js", "store/offline.js"} & set(site.asked), "these were here already"
    assert applied(page) == ""


def test_a_version_that_never_comes_to_life_is_left_after_three_starts(site: Site, context: BrowserContext) -> None:
    page = opened(context, site)
    site.publish(small_build(NEW, broken=True))
    assert fetched(page) == "ready"
    assert applied(page) == ""
    for _ in range(2):
        page.reload()
        assert build_of(page) == NEW
    page.reload()
    assert build_of(page) == OLD
    assert run(page, "return (await until(async () => update.place())).why;") == "its page did not open three times in a row."
    assert offline_state(page, "ready", "failed")["name"] == "ready"


def test_a_version_whose_calculations_fail_is_left_by_hand_and_tried_again(site: Site, context: BrowserContext) -> None:
    page, other = opened(context, site), opened(context, site)
    site.publish(small_build(NEW, core="failed"))
    assert fetched(page) == "ready"
    assert applied(page) == ""
    offline_state(page, "ready")
    assert run(page, "return (await update.place()).canGoBack;") is True
    page.evaluate(_RUN.replace("BODY", "void update.goBack('its calculations did not start.');"))
    for one in (page, other):
        expect(one.locator(META)).to_have_attribute("content", OLD, timeout=PATIENCE_MS)
    offline_state(page, "ready")
    assert run(page, "return update.place();") == {
        "from": OLD, "canGoBack": False, "why": "its calculations did not start."}
    assert len(page.evaluate("caches.keys()")) == 2, "both are kept until one has proved itself"
    site.publish(small_build("third2"))
    assert fetched(page) == "ready", "a later version is taken from there"
    page.evaluate(_RUN.replace("BODY", "void update.goForward();"))
    expect(page.locator(META)).to_have_attribute("content", NEW, timeout=PATIENCE_MS)


def test_a_version_for_which_there_is_no_room_is_not_taken(site: Site, context: BrowserContext) -> None:
    page = opened(context, site)
    site.publish(small_build(NEW, bytes_claimed=10**15))
    assert "the device is full:" in fetched(page)
    assert build_of(page) == OLD
