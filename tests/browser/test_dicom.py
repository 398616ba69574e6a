"""DICOM measurements without network: taken one by one, never the other eye's, nobody named, all else refused."""

from __future__ import annotations

import json
import re
from datetime import date

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.hands import choose, go, line, new_eye, number, open_app
from tests.exchange.dicom_files import BORN, NAME, NUMBER, acuity, axial, code, keratometry, refraction

#: A Python starts for every file; a busy machine takes its time.
READING_MS = 120_000
#: People name files after patients; the screen must not.
FILE_NAME = "Tell_Tale_19540815.dcm"
CORRECTED = code("419775003", "Best Corrected Visual Acuity", "SCT")


def bring(page: Page, data: bytes) -> None:
    page.locator("gl-dicom-card input[type=file]").set_input_files(
        {"name": FILE_NAME, "mimeType": "application/dicom", "buffer": data})


def candidate(page: Page, field: str) -> Locator:
    found = page.locator(f'[data-candidate="{field}"]')
    expect(found).to_be_visible(timeout=READING_MS)
    return found


def refused(page: Page, data: bytes, words: str) -> None:
    bring(page, data)
    expect(page.locator("gl-dicom-card gl-banner")).to_contain_text(words, timeout=READING_MS)
    expect(page.locator("[data-candidate]")).to_have_count(0)


def box(page: Page, path: str) -> Locator:
    return page.locator(f'gl-number[path="{path}"] input')


def readers(page: Page) -> list[str]:
    return [worker.url for worker in page.workers if "dicom" in worker.url]


@pytest.mark.timeout(900)
def test_dicom_values_are_taken_one_by_one_without_network(page: Page, app_url: str) -> None:
    open_app(page, app_url)
    page.context.set_offline(True)
    new_eye(page, "right")
    choose(page, "measurements.axial_method", "contact")
    page.get_by_text("Bring in a DICOM file").tap()

    # The app answers while a file is read, and what is typed meanwhile is compared too.
    bring(page, axial())
    stop = page.get_by_role("button", name="Stop", exact=True)
    expect(stop).to_be_visible()
    number(page, "measurements.axial_length_mm", "23.40")
    length = candidate(page, "axial_length_mm")
    expect(length).to_contain_text("Chosen in the biometer. Optical.")
    expect(page.locator("gl-dicom-card gl-banner")).to_contain_text("The left eye is taken on its own screen")
    expect(page.locator("gl-dicom-card")).not_to_contain_text("23.02")
    expect(length.locator("tr.differs")).to_have_count(2)
    expect(length.locator("tr.differs").first).to_contain_text("23.40 mm")
    expect(length.locator("tr.differs").first).to_contain_text("23.51 mm")
    length.get_by_role("button", name="Take, in place of what is entered").tap()
    expect(box(page, "measurements.axial_length_mm")).to_have_value("23.51")
    optical = page.locator('gl-choice[path="measurements.axial_method"] input[value="optical"]')
    expect(optical).to_be_checked()
    length.get_by_role("button", name="Put back what was there").tap()
    expect(box(page, "measurements.axial_length_mm")).to_have_value("23.40")
    expect(optical).not_to_be_checked()
    length.get_by_role("button").tap()
    expect(length.get_by_text("Taken")).to_be_visible()

    # Powers and radii do not mix: the first one taken decides for the second.
    bring(page, keratometry())
    flat, steep = candidate(page, "r1_mm"), candidate(page, "r2_mm")
    expect(flat).to_contain_text("keratometer index is not stated, 1.3315 fits")
    expect(flat.get_by_role("button")).to_have_count(2)
    flat.get_by_role("button", name="Take as radius").tap()
    expect(box(page, "measurements.r1_mm")).to_have_value("7.80")
    expect(steep.get_by_role("button")).to_have_count(1)
    steep.get_by_role("button", name="Take as radius").tap()
    expect(box(page, "measurements.r2_mm")).to_have_value("7.50")

    # What cannot be used is named, and nothing of it stays.
    bring(page, axial())
    stop.tap()
    expect(page.get_by_text("Stopped. Nothing was taken.")).to_be_visible()
    refused(page, axial()[:1200], "The file ends too early")
    refused(page, b"\x89PNG" + bytes(4000), "not a DICOM file")
    refused(page, bytes(4_000_001), "far larger than measurements")
    expect(box(page, "measurements.axial_length_mm")).to_have_value("23.51")
    assert readers(page) == []

    go(page, "Follow-up")
    page.get_by_text("Bring in a DICOM file").tap()
    line(page, "new_visit.on", date.today().isoformat())
    bring(page, refraction())
    candidate(page, "sphere_d").get_by_role("button", name="Take as this visit's refraction").tap()
    expect(page.locator('[data-role="both-forms"]')).to_contain_text(re.compile(r"\u22120\.25\sD\s\u22121\.00\sD\s×\s090"))
    bring(page, acuity(kind=CORRECTED))
    candidate(page, "cdva_logmar").get_by_role("button", name="Take as corrected").tap()
    expect(page.locator('[data-role="cdva-shown"]')).to_contain_text("6/12")
    choose(page, "new_visit.looked", "none")
    page.get_by_role("button", name="Save visit").tap()
    expect(page.locator(".visits li")).to_have_count(1)

    # Nobody is named on the screen or in anything that is kept.
    kept = json.dumps(page.evaluate(KEPT)) + page.locator("body").inner_text()
    assert "23.51" in kept
    for secret in (*NAME.split("^")[1:], NUMBER, BORN, FILE_NAME):
        assert secret not in kept, secret
    assert readers(page) == []


#: Everything in the app's databases and places of its own.
KEPT = """async () => {
  const done = (request) => new Promise((yes, no) => { request.onsuccess = () => yes(request.result); request.onerror = () => no(request.error); });
  const all = [Object.entries(localStorage), Object.entries(sessionStorage)];
  for (const { name } of await indexedDB.databases()) {
    const database = await done(indexedDB.open(name));
    for (const store of database.objectStoreNames) all.push(await done(database.transaction(store).objectStore(store).getAll()));
    database.close();
  }
  return JSON.parse(JSON.stringify(all));
}"""
