"""Whatever the phone's storage does at any of the app's calls: nothing called saved is lost, and it is said."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, expect

from tests.browser.faults.call_sites import CallSite, call_sites
from tests.browser.faults.page import page_with_faults, told
from tests.browser.faults.table import EXCUSED, STORY
from tests.browser.store_page import CODE, run

SITES = {site.name: site for site in call_sites()}
MOST_MS = 240_000


def _rows(story: str) -> list[dict[str, Any]]:
    """Every fault of every call that this story reaches; a badly written row is written badly once."""
    return [_row(SITES[name], fault) for name, one in STORY.items() if one == story
            for fault in SITES[name].faults if (name, fault) not in EXCUSED]


def _row(site: CallSite, fault: str) -> dict[str, Any]:
    once = fault == "truncated" and site.name.split()[2] in ("put", "add")
    return {"site": site.name, "place": site.place, "fault": fault, **({"times": 1} if once else {})}


@pytest.mark.parametrize("story", sorted(set(STORY.values())))
def test_no_fault_of_the_storage_loses_what_was_called_saved(
    new_context: Callable[..., BrowserContext], app_url: str, story: str
) -> None:
    page = page_with_faults(new_context(service_workers="block"), app_url)
    page.set_default_timeout(MOST_MS)
    (clean,) = told(page, [{"story": story, "clean": True}])
    rows = [{**row, "story": story, "expected": clean} for row in _rows(story)]
    results = told(page, rows)
    assert [(one["site"], one["fault"], one["faults"]) for one in results if one["faults"]] == []
    assert len(results) == len(rows)


def test_what_cannot_be_read_is_said_and_read_again(
    new_context: Callable[..., BrowserContext], app_url: str
) -> None:
    page = page_with_faults(new_context(service_workers="block"), app_url)
    run(page, f'await make("{CODE}");')
    arm = "([place]) => { window.faults.hurry = { waits: 1, pauses: 40 }; window.faults.arm([{ place, fault: 'abort' }]); }"
    page.evaluate(arm, [SITES["store/store.js read get"].place])
    page.evaluate("(code) => { location.hash = `#/eye/${code}/plan`; }", CODE)
    expect(page.get_by_text("This eye could not be read")).to_be_visible()
    page.evaluate("window.faults.disarm()")
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("textbox", name="Axial length")).to_be_visible()
    page.evaluate(arm, [SITES["store/store.js #eyes getAll"].place])
    page.evaluate("() => { location.hash = '#/eyes'; }")
    expect(page.get_by_text("The eyes could not be read")).to_be_visible()
    page.evaluate("window.faults.disarm()")
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("link", name=CODE)).to_be_visible()
