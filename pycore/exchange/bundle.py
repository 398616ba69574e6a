"""Tables, metadata and codebook as files, and all of them as one archive.

Every file of the archive has the same date, 1 January 1980, so that not even the day of the
export is in it. Checked by ``tests/exchange/test_csvw.py``.
"""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pycore.exchange.csv_export import Table
from pycore.exchange.csv_text import COMMA, Dialect
from pycore.exchange.csvw import codebook, metadata

_DATE: Final = (1980, 1, 1, 0, 0, 0)
#: What the second variant is called in file names.
_VARIANT: Final = {COMMA.name: "-decimal-comma"}


@dataclass(frozen=True, slots=True)
class File:
    """A file's name, kind and text."""

    name: str
    media_type: str
    text: str


def files(tables: Sequence[Table], dialect: Dialect, notes: Sequence[str]) -> list[File]:
    """One CSV per table, the metadata and the codebook."""
    variant = _VARIANT.get(dialect.name, "")
    names = {table.name: f"{table.name}{variant}.csv" for table in tables}
    written = [File(names[table.name], "text/csv", table.text(dialect)) for table in tables]
    document = json.dumps(metadata(names, dialect, notes), indent=1)
    return [
        *written,
        File("csv-metadata.json", "application/json", document + "\n"),
        File(f"codebook{variant}.csv", "text/csv", codebook(dialect)),
    ]


def archive(made: Sequence[File]) -> bytes:
    """All files in one ZIP archive."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as opened:
        for file in made:
            info = zipfile.ZipInfo(file.name, _DATE)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            opened.writestr(info, file.text.encode("utf-8"))
    return held.getvalue()
