"""Every call of the browser's storage has its case among the faults."""

from __future__ import annotations

import pytest

from tests.browser.faults.call_sites import call_sites, sites_in
from tests.browser.faults.table import EXCUSED, STORY


def test_every_call_has_a_case_and_every_case_a_call() -> None:
    names = {site.name for site in call_sites() if site.file != "sw.js"}
    assert names - set(STORY) == set(), "write a case in tests/browser/faults/table.py"
    assert set(STORY) - names == set(), "these cases have no call any more"


def test_only_what_can_happen_is_excused() -> None:
    faults = {(site.name, fault) for site in call_sites() for fault in site.faults}
    assert set(EXCUSED) <= faults


@pytest.mark.parametrize(("code", "named"), [
    ("  await store.put(row);", "put"), ("  await openDB(name);", "openDB"),
    ("localStorage.setItem(key, text);", "setItem"), ("(await caches.open(name)).keys();", "open"),
])
def test_a_new_call_is_seen(code: str, named: str) -> None:
    assert next(site.name for site in sites_in("store/new.js", code)) == f"store/new.js top {named}"


@pytest.mark.parametrize("code", ["texts.has(one)", "Object.keys(row)", "// store.put(row)", '"store.put(row)"'])
def test_what_reaches_no_storage_is_left_alone(code: str) -> None:
    assert sites_in("store/new.js", code) == []


def test_calls_of_one_name_are_told_apart() -> None:
    text = "function save(store) {\n  store.put(1);\n  store.put(2);\n}\n"
    assert [site.name for site in sites_in("store/new.js", text)] == ["store/new.js save put", "store/new.js save put 2"]
