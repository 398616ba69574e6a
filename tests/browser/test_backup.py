"""One file with everything: made and restored without Python, tested, and joined by log."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from pycore.records.case import SCHEMA
from tests.browser.store_page import CODE, OTHER, run
from webapp.build.serve import Running

SAMPLES = Path(__file__).parents[1] / "records" / "samples"


@pytest.fixture
def without_python(server: Running) -> Iterator[str]:
    """An app whose calculations cannot start."""
    (server.folder / "core" / "pycore.zip").unlink()
    yield server.address


@pytest.fixture
def phone(new_context: Callable[..., BrowserContext], without_python: str) -> Callable[[], Page]:
    """Opens another phone on the app."""
    def make() -> Page:
        page = new_context(service_workers="block").new_page()
        page.goto(without_python)
        expect(page.get_by_role("heading", name="Eyes")).to_be_visible()
        return page
    return make


def save_backup(page: Page) -> Path:
    """Setup, Save: the file."""
    page.get_by_role("link", name="Setup", exact=True).click()
    card = page.locator("gl-backup-card")
    with page.expect_download() as waiting:
        card.get_by_role("button", name="Save the backup file").click()
    expect(card.get_by_text("was saved to this device's downloads")).to_be_visible()
    return Path(waiting.value.path())


def choose(page: Page, content: bytes) -> None:
    """Give the restore card a file."""
    page.get_by_role("link", name="Setup", exact=True).click()
    page.locator("gl-restore-card input[type=file]").set_input_files(
        {"name": "backup.json", "mimeType": "application/json", "buffer": content})


def test_a_backup_goes_from_phone_to_phone_without_python(phone: Callable[[], Page]) -> None:
    first = phone()
    run(first, f"""await make("{CODE}"); await make("{OTHER}");
      await store.commit("{CODE}", "measurements.axial_length_mm", 23.51);
      await store.append("{CODE}", "readings", {{ id: "r1", refraction_d: -1 }});
      await store.preference("box", {{ rows: [1] }});""")
    expect(first.get_by_text("No calculations now")).to_be_visible()
    first.reload()
    expect(first.get_by_text("2 eyes are only on this phone")).to_be_visible()
    content = save_backup(first).read_bytes()
    expect(first.get_by_text("Every eye is in a backup")).to_be_visible()
    backup = json.loads(content)
    rows = json.dumps(backup["rows"], separators=(",", ":"), ensure_ascii=False)
    assert hashlib.sha256(rows.encode()).hexdigest() == backup["sha256"]
    assert (backup["counts"]["eyes"], backup["counts"]["log"]) == (2, 4)

    second = phone()
    for name, wrong, said in (
        ("cut", content[:-40], "damaged or cut short"),
        ("changed", content.replace(b"23.51", b"23.15"), "its hash is another"),
        ("newer", content.replace(b'"version":1', b'"version":99'), "A newer version of the app made this file"),
        ("other", b"{}", "not a backup file"),
    ):
        choose(second, wrong)
        expect(second.locator("gl-restore-card").get_by_text(said), name).to_be_visible()
    assert run(second, "return (await store.list()).length;") == 0
    choose(second, content)
    second.get_by_role("button", name="Take it in").click()
    expect(second.get_by_text("2 eyes taken in")).to_be_visible()
    here, there = (run(page, f'return [await store.read("{CODE}"), (await store.log("{CODE}")).map((one) => one.id)];')
                   for page in (first, second))
    assert {**here[0], "updated_at": ""} == {**there[0], "updated_at": ""}
    assert there[1][: len(here[1])] == here[1]
    choose(second, content)
    expect(second.get_by_text("Nothing new in this file")).to_be_visible()

    # Both phones go on with the same eye; the files are joined by their logs.
    run(first, f"""await store.commit("{CODE}", "plan.target_d", -0.5);
      await store.commit("{CODE}", "measurements.k1_d", 43);
      await store.append("{CODE}", "readings", {{ id: "r2", refraction_d: -2 }}); await store.remove("{OTHER}");""")
    run(second, f"""await store.commit("{CODE}", "plan.target_d", -1.25);
      await store.append("{CODE}", "readings", {{ id: "r3", refraction_d: -3 }});
      await store.commit("{OTHER}", "plan.target_d", -3);""")
    second.reload()
    choose(second, save_backup(first).read_bytes())
    card = second.locator("gl-restore-card")
    expect(card.get_by_role("button", name="Choose first: 2 left")).to_be_disabled()
    expect(card.get_by_text("Target", exact=False)).to_be_visible()
    card.get_by_role("button", name="\u22120.50 D").click()
    card.get_by_role("button", name="keep it").click()
    card.get_by_role("button", name="Take it in").click()
    expect(second.get_by_text("2 eyes taken in")).to_be_visible()
    joined = run(second, f'return [await store.read("{CODE}"), await store.read("{OTHER}"), (await store.log("{CODE}")).length];')
    assert (joined[0]["plan"]["target_d"], joined[0]["measurements"]["k1_d"]) == (-0.5, 43)
    assert {one["id"] for one in joined[0]["readings"]} == {"r1", "r2", "r3"}
    assert joined[1]["plan"]["target_d"] == -3
    assert joined[2] == 3 + 1 + 2 + 3 + 1


def test_an_eye_of_another_patient_or_side_is_left_out(phone: Callable[[], Page]) -> None:
    page = phone()
    run(page, f'await make("{CODE}"); await make("{OTHER}");')
    refused = run(page, f"""const {{ mergePlan }} = await from("store/merge.js");
      const here = await store.everything();
      const file = structuredClone(here);
      for (const line of file.log) line.id += "x";
      file.eyes.find((one) => one.code === "{CODE}").eye = "right";
      file.eyes.find((one) => one.code === "{OTHER}").history = {{ age_years: 80 }};
      const plan = mergePlan(here, file);
      return [plan.eyes.length, ...plan.refused.map((one) => one.why)];""")
    assert refused[0] == 0
    assert sorted(refused[1:]) == [
        "another eye with the same code is here. Nothing of it was taken.",
        "it is the left eye here and the right eye in the file. Nothing of it was taken.",
    ]


def test_every_version_of_a_file_has_a_sample_that_still_opens(phone: Callable[[], Page]) -> None:
    versions = sorted(int(path.stem.rsplit("-", 1)[1]) for path in SAMPLES.glob("backup-*.json"))
    page = phone()
    assert versions == list(range(1, run(page, 'return (await from("store/backup.js")).BACKUP_VERSION;') + 1))
    schemas = sorted(int(path.stem.rsplit("-", 1)[1]) for path in SAMPLES.glob("case-*.json"))
    assert schemas == list(range(1, SCHEMA + 1))
    for version in versions:
        content = (SAMPLES / f"backup-{version}.json").read_bytes()
        expected: Any = json.loads((SAMPLES / f"backup-{version}.expected").read_text())
        choose(page, content)
        card = page.locator("gl-restore-card")
        card.get_by_label("Passphrase or recovery key of the file").fill(expected["passphrase"])
        card.get_by_role("button", name="Open the file").click()
        card.get_by_role("button", name="Take it in").click()
        expect(card.get_by_text("1 eye taken in")).to_be_visible()
        assert run(page, f'return (await store.read("{expected["code"]}")).plan.target_d;') == expected["target_d"]
