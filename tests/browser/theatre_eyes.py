"""Invented eyes for the theatre's screens, made from a demo eye, each read back as it stands."""

from __future__ import annotations

import copy
from typing import Any

from playwright.sync_api import Page, expect

from pycore.api.boundary import answer
from pycore.api.demo_eyes import demo_eyes
from pycore.records.codes import new_code

Case = dict[str, Any]

CREATE = """async (eyes) => {
  const { openStore } = await import(new URL("store/store.js", document.baseURI).href);
  const store = await openStore();
  for (const eye of eyes) await store.create(eye);
}"""


def _base() -> Case:
    return next(copy.deepcopy(one) for one in demo_eyes() if one["code"].startswith("9FRM"))


def read_back(case: Case) -> Case:
    """The case with its plan read back as it stands."""
    lines = answer("plan_case", {"case": case})["value"]["readback"]
    values = {**{line["label"]: line["value"] for line in lines["lines"]}, "fingerprint": lines["fingerprint"]}
    entry = {"id": "plan", "at": "2026-10-07T08:02:00Z", "kind": "plan", "by_two": True, "values": values}
    return {**case, "readbacks": [entry]}


def eye(**parts: Any) -> Case:
    """A left eye with two readings by retinoscope; ``parts`` replace sections of it."""
    return read_back({**_base(), "code": new_code(), "demo": False, **parts})


def surprised(by_d: float) -> Case:
    """The same with every reading ``by_d`` further toward hyperopia."""
    return eye(readings=[{**one, "sphere_d": one["sphere_d"] + by_d} for one in _base()["readings"]])


def put(page: Page, address: str, *eyes: Case) -> None:
    """Open the app and keep the eyes on the device."""
    page.goto(address)
    expect(page.get_by_role("heading", name="Eyes", exact=True)).to_be_visible()
    page.evaluate(CREATE, list(eyes))


def open_theatre(page: Page, address: str, case: Case) -> None:
    """The theatre of an eye that was read back, at its list of readings."""
    page.goto(f"{address}#/eye/{case['code']}/theatre")
    expect(page.locator("gl-theatre-view h2")).to_have_text("Read-back")
    page.locator("gl-theatre-view nav button.main").tap()
    expect(page.locator("gl-theatre-view h2")).to_have_text("Readings")
    expect(page.get_by_role("button", name="New reading")).to_be_visible()
