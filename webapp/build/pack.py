"""One archive of the finished app, with its sha256 beside it."""

from __future__ import annotations

import zipfile
from pathlib import Path

from .assemble import Built
from .fetch import sha256_of
from .paths import ARCHIVES
from .progress import say

DATE = (1980, 1, 1, 0, 0, 0)


def pack(built: Built, folder: Path = ARCHIVES) -> Path:
    """Write guyline-BUILD.zip and guyline-BUILD.zip.sha256; equal builds give equal bytes."""
    folder.mkdir(parents=True, exist_ok=True)
    archive = folder / f"guyline-{built.build_id}.zip"
    with zipfile.ZipFile(archive, "w") as opened:
        for path in sorted(built.folder.rglob("*")):
            if path.is_file():
                _add(opened, path, path.relative_to(built.folder).as_posix())
    beside = archive.with_name(archive.name + ".sha256")
    beside.write_text(f"{sha256_of(archive)}  {archive.name}\n")
    say(f"packed {archive.name}: {archive.stat().st_size / 1e6:.1f} MB")
    return archive


def _add(opened: zipfile.ZipFile, path: Path, name: str) -> None:
    info = zipfile.ZipInfo(name, DATE)
    info.external_attr = 0o644 << 16
    opened.writestr(info, path.read_bytes(), zipfile.ZIP_DEFLATED, 9)
