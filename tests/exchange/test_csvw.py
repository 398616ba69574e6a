"""The files of an export, read by an independent reader of CSV on the Web."""

from __future__ import annotations

import base64
import csv
import io
import json
import zipfile
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from csvw import CSVW, TableGroup

from pycore.api.boundary import answer
from pycore.records.codes import new_code
from tests.records.sample import sample


def exported(variant: str, **options: Any) -> dict[str, Any]:
    person = new_code()
    cases = [{**sample(), "code": new_code(), "person": person if number < 2 else None,
              "eye": "left" if number % 2 else "right"} for number in range(3)]
    value: dict[str, Any] = answer("export_csv", {"cases": cases, "today": "2026-06-20", "variant": variant,
                                                  "year_band_years": 1, **options})["value"]
    return value


@pytest.fixture(params=["point", "comma"])
def folder(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    packed = base64.b64decode(exported(request.param)["archive"]["base64"])
    zipfile.ZipFile(io.BytesIO(packed)).extractall(tmp_path)
    return tmp_path


def test_metadata_and_tables_agree(folder: Path) -> None:
    """The reader finds every column, accepts every cell, and follows every key."""
    group = TableGroup.from_file(folder / "csv-metadata.json")
    tables = {str(table.url).split(".")[0].split("-")[0]: table for table in group.tables}
    assert set(tables) == {"eyes", "readings", "visits", "steps", "decisions", "marks"}
    lines = {name: list(table.iterdicts(strict=True)) for name, table in tables.items()}
    assert {name: len(found) for name, found in lines.items()} == {
        "eyes": 3, "readings": 6, "visits": 6, "steps": 24, "decisions": 3, "marks": 3}
    assert all(table.check_primary_key() for table in group.tables)
    group.check_referential_integrity(strict=True)
    eye = lines["eyes"][0]
    assert eye["axial_length_mm"] == Decimal("23.1")
    assert eye["surgery_year"] == 2026
    assert eye["plan_iridectomy_planned"] is True
    assert lines["visits"][1]["days_after"] == 30
    assert lines["visits"][1]["complications"] == ["none"]


def test_the_document_is_valid_metadata(folder: Path) -> None:
    (eyes,) = folder.glob("eyes*.csv")
    assert CSVW(str(eyes), md_url=str(folder / "csv-metadata.json"), validate=True).is_valid


def test_the_reader_would_see_a_cell_beyond_its_limits(folder: Path) -> None:
    (eyes,) = folder.glob("eyes*.csv")
    text = eyes.read_bytes().decode().replace("23.1", "99.1").replace("23,1", "99,1")
    eyes.write_bytes(text.encode())
    group = TableGroup.from_file(folder / "csv-metadata.json")
    with pytest.raises(ValueError, match=r"axial_length_mm|23|99"):
        list(group.tables[0].iterdicts(strict=True))


def test_the_codebook_describes_every_column() -> None:
    value = exported("point")
    files = {file["name"].split("-", 3)[3]: file["text"] for file in value["files"]}
    described = list(csv.DictReader(io.StringIO(files["codebook.csv"])))
    for table in ("eyes", "readings", "visits", "steps", "decisions", "marks"):
        header = files[f"{table}.csv"].split("\r\n")[0].split(",")
        assert [row["column"] for row in described if row["table"] == table] == header
    assert all(row["meaning"] for row in described)
    by_name = {row["column"]: row for row in described if row["table"] == "eyes"}
    assert (by_name["k1_d"]["unit"], by_name["k1_d"]["lowest"], by_name["plan_meridian_deg"]["unit"]) == (
        "D", "28", "degrees")


def test_the_archive_tells_no_day_and_no_surprise() -> None:
    packed = zipfile.ZipFile(io.BytesIO(base64.b64decode(exported("point")["archive"]["base64"])))
    assert {info.date_time for info in packed.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    document = json.loads(packed.read("csv-metadata.json"))
    assert document["tables"][0]["url"] == "eyes.csv"


def test_the_decimal_comma_variant_is_named_and_reads_the_same() -> None:
    value = exported("comma")
    assert value["files"][0]["name"].endswith("-eyes-decimal-comma.csv")
    (row, *_) = csv.DictReader(io.StringIO(value["csv"]), delimiter=";")
    assert row["axial_length_mm"] == "23,1"
    assert row["plan_target_d"] == "-0,5"
