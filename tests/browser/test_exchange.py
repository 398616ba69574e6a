"""Eyes out as files and back in: the archive, a foreign table, its second coming, and what is refused."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.hands import open_app

TABLE = """Side;AL;K1;K2;IOL power;A constant;target;days;sphere;cylinder;axis;surname
OD;23,51;43,25;44,50;21,5;118,7;-0,5;35;-0,25;-1,00;90;=Example
left;22,10;42,00;43,00;23,0;118,7;-0,5;40;0,50;0;;Example
OD;235;42,00;43,00;23,0;118,7;-0,5;40;0,50;0;;Example
"""


def bring(page: Page, path: Path) -> None:
    page.locator("input[type=file]").set_input_files(path)


def add(page: Page, count: str) -> None:
    page.get_by_role("button", name=f"Add {count}").tap()
    expect(page.get_by_text("were added")).to_be_visible()


def test_eyes_go_out_and_come_back_and_a_past_series_comes_in_once(page: Page, app_url: str, tmp_path: Path) -> None:
    open_app(page, app_url)
    page.get_by_role("button", name="Add three demo eyes", exact=True).tap()
    expect(page.locator("a.eye")).to_have_count(3)
    page.get_by_role("link", name="Export", exact=True).tap()
    for box in page.get_by_role("checkbox").all():
        box.check()
    expect(page.get_by_text("Smallest group: 1 person")).to_be_visible()
    page.locator("[data-coarser]").last.tap()
    expect(page.locator('select[data-band="with_sex"]')).to_have_value("Left out")
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save all in one archive").tap()
    archive = tmp_path / "out.zip"
    waiting.value.save_as(archive)
    expect(page.get_by_text("is in this device's downloads")).to_be_visible()

    page.get_by_role("link", name="bring in a past series").tap()
    bring(page, archive)
    expect(page.get_by_text("this eye is on this device already")).to_have_count(3)
    page.get_by_role("link", name="Eyes", exact=True).tap()
    page.get_by_role("button", name="Remove the demo eyes").tap()
    expect(page.locator("a.eye")).to_have_count(0)
    page.goto(f"{app_url}#/import")
    bring(page, archive)
    add(page, "3 eyes")

    table = tmp_path / "series.csv"
    table.write_bytes(TABLE.encode("utf-16"))
    bring(page, table)
    expect(page.locator('select[data-column="AL"]')).to_have_value("axial_length_mm")
    expect(page.locator('select[data-column="surname"]')).to_have_value("")
    expect(page.locator("select[data-mark]")).to_have_value(",")
    page.locator('select[data-fixed="axial_method"]').select_option("optical")
    page.get_by_role("button", name="Check the lines").tap()
    expect(page.locator(".rejected li")).to_have_count(1)
    expect(page.locator(".rejected li")).to_contain_text("Line 4")
    expect(page.locator(".rejected li")).to_contain_text("235")
    add(page, "2 eyes")
    bring(page, table)
    expect(page.locator('select[data-fixed="axial_method"]')).to_have_value("optical")
    page.get_by_role("button", name="Check the lines").tap()
    expect(page.get_by_text("this eye is on this device already")).to_have_count(2)
    expect(page.get_by_role("button", name="Add", exact=False)).to_have_count(0)

    broken = tmp_path / "broken.csv"
    broken.write_bytes(b"Side,AL,AL\nOD,23,24\n")
    bring(page, broken)
    expect(page.get_by_text("Two columns are called 'AL'")).to_be_visible()
    page.get_by_role("link", name="Eyes", exact=True).tap()
    expect(page.locator("a.eye")).to_have_count(5)
    expect(page.locator("a.eye .imported")).to_have_count(5)
