"""Requests of export and import: parts, chunks of files, whole archives."""

from __future__ import annotations

import base64
import json
import random
from typing import Final

from pycore.api.boundary import answer
from tests.exchange import dicom_files
from tests.generators import Payload, generator, sometimes
from tests.generators_cases import TODAY, stored_eye, with_seeded_identities

_BANDS: Final = {"age_band_years": (0, 1, 5, 10, 20), "year_band_years": (0, 1, 5, 10),
                 "with_sex": (True, False), "with_indication": (True, False), "variant": ("point", "comma")}


def _options(source: random.Random) -> Payload:
    return {key: source.choice(values) for key, values in _BANDS.items() if source.random() < 0.4}


@generator("export_part")
def export_part(source: random.Random) -> Payload:
    cases = [stored_eye(source) for _ in range(source.randint(0, 3))]
    return {"cases": cases, "today": TODAY, **sometimes(source, 0.2, exclude_demo=False)}


@generator("export_files")
def export_files(source: random.Random) -> Payload:
    """One eye at most: lines stand in random order."""
    payload = {"cases": [stored_eye(source)][: source.randint(0, 1)], "today": TODAY}
    return {"parts": answer("export_part", payload)["value"]["parts"], **_options(source)}


_NOW: Final = f"{TODAY}T12:00:00Z"
_HEADER: Final = ("side", "AL", "K1", "K2", "IOL power", "target", "days", "se", "note")


def _table(source: random.Random) -> bytes:
    separator, mark = source.choice(((",", "."), (";", ","), (";", "."), ("\t", ".")))
    lines = [separator.join(_HEADER)]
    for _ in range(source.randint(0, 5)):
        cells = [source.choice(("OD", "left", "right", "L", "?")), f"{source.uniform(20, 27):.2f}",
                 f"{source.uniform(39, 47):.2f}", f"{source.uniform(39, 47):.2f}", f"{source.uniform(8, 28):.1f}",
                 f"{source.uniform(-2, 0):.2f}", str(source.randint(1, 200)), f"{source.uniform(-3, 2):.2f}",
                 source.choice(("", "=1+1", '"a; b"', "x"))]
        lines.append(separator.join(cell.replace(".", mark) for cell in cells))
    return "\r\n".join([*lines, ""]).encode(source.choice(("utf-8", "utf-8-sig", "utf-16")))


def _base64(data: bytes) -> str:
    return base64.b64encode(data).decode()


@generator("csv_look")
def csv_look(source: random.Random) -> Payload:
    data = _table(source)
    return {"head_base64": _base64(data), "whole": True, "size_bytes": len(data)}


@generator("csv_rows")
def csv_rows(source: random.Random) -> Payload:
    data = _table(source)
    seen = answer("csv_look", {"head_base64": _base64(data), "whole": True, "size_bytes": len(data)})["value"]
    return {
        "bytes_base64": _base64(data), "first": True, "last": True, "shape": seen["shape"], "now": _NOW,
        "columns": [column["suggested"] for column in seen["columns"]], "decimal_mark": seen["decimal_mark"],
        "today": TODAY, **sometimes(source, 0.4, fixed={"axial_method": "optical"}),
    }


def _opened(source: random.Random) -> tuple[str, Payload]:
    payload = {"cases": [stored_eye(source)], "today": TODAY, **_options(source)}
    packed = answer("export_csv", payload)["value"]["archive"]["base64"]
    return packed, answer("import_archive", {"bytes_base64": packed})["value"]


@generator("import_archive")
def import_archive(source: random.Random) -> Payload:
    """Without eyes: an archive holds random identities."""
    packed = answer("export_csv", {"cases": [], "today": TODAY, **_options(source)})["value"]["archive"]
    return {"bytes_base64": packed["base64"]}


@generator("import_parts")
def import_parts(source: random.Random) -> Payload:
    _, opened = _opened(source)
    opened = json.loads(with_seeded_identities(json.dumps(opened), source))
    return {**opened, "now": _NOW, "today": TODAY}


@generator("fingerprints")
def fingerprints(source: random.Random) -> Payload:
    return {"cases": [stored_eye(source) for _ in range(source.randint(0, 3))]}


_FILES: Final = (
    dicom_files.keratometry, dicom_files.axial, dicom_files.refraction, dicom_files.acuity,
    lambda: dicom_files.refraction("autorefraction"), lambda: dicom_files.axial(device="ULTRASOUND", selected=False),
)


@generator("dicom_read")
def dicom_read(source: random.Random) -> Payload:
    return {"bytes_base64": _base64(source.choice(_FILES)()), "eye": "right"}
