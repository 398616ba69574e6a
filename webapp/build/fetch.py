"""Files known by their sha256, taken from the first source that delivers them.

The hash is the trust anchor: a source is only a place where the bytes may be found.
An unreachable source is passed over with a line of text; a source that delivers other
bytes stops the build.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import urllib.error
import urllib.request
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from .errors import BuildError
from .paths import download_caches
from .progress import ByteProgress, say

CONNECT_TIMEOUT_S = 10.0


class SourceUnavailable(Exception):
    """This source cannot be reached or does not have the file; try the next."""


@dataclass(frozen=True)
class Source:
    """A named place and the action that brings the file from there to a path."""

    name: str
    bring: Callable[[Path], None]


def sha256_of(path: Path) -> str:
    """Hash of a file, read in pieces."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def fetch(
    name: str, sha256: str, sources: Sequence[Source], caches: Sequence[Path] | None = None
) -> Path:
    """Return a local path of the file with this hash, downloading at most once."""
    folders = list(download_caches() if caches is None else caches)
    cached = _from_caches(name, sha256, folders)
    if cached is not None:
        return cached
    _download(name, sha256, sources, folders[0])
    _share(folders[0] / name, folders[1:])
    return folders[0] / name


def _from_caches(name: str, sha256: str, folders: Sequence[Path]) -> Path | None:
    """A cached copy; one with another hash is damaged and removed."""
    for folder in folders:
        path = folder / name
        if path.is_file():
            if sha256_of(path) == sha256:
                return path
            say(f"cached {name} is damaged and will be fetched again")
            path.unlink()
    return None


def _download(name: str, sha256: str, sources: Sequence[Source], folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    partial = folder / f"{name}.{os.getpid()}.part"
    reasons = []
    try:
        for source in sources:
            say(f"fetching {name} from {source.name}")
            try:
                source.bring(partial)
            except SourceUnavailable as reason:
                reasons.append(f"{source.name}: {reason}")
                continue
            _keep(partial, folder / name, sha256, source.name)
            return
    finally:
        partial.unlink(missing_ok=True)
    raise BuildError(f"No source could deliver {name} ({'; '.join(reasons) or 'none known'}).")


def _keep(partial: Path, target: Path, sha256: str, source: str) -> None:
    got = sha256_of(partial)
    if got != sha256:
        raise BuildError(
            f"{target.name} from {source} has sha256 {got} and not the pinned {sha256}: "
            "nothing was built."
        )
    partial.replace(target)


def _share(path: Path, folders: Sequence[Path]) -> None:
    """Copy into the other caches; a cache that cannot be written is no failure."""
    for folder in folders:
        try:
            folder.mkdir(parents=True, exist_ok=True)
            partial = folder / f"{path.name}.{os.getpid()}.part"
            shutil.copyfile(path, partial)
            partial.replace(folder / path.name)
        except OSError:
            say(f"the cache {folder} could not be written; continuing without it")


def from_address(address: str) -> Callable[[Path], None]:
    """Download over https with a connection time-out and visible progress."""

    def bring(target: Path) -> None:
        try:
            with urllib.request.urlopen(address, timeout=CONNECT_TIMEOUT_S) as answer:
                total = int(answer.headers.get("Content-Length") or 0) or None
                progress = ByteProgress(target.name.rsplit(".", 2)[0], total)
                with target.open("wb") as file:
                    while piece := answer.read(1 << 18):
                        file.write(piece)
                        progress.add(len(piece))
                progress.close()
        except (urllib.error.URLError, TimeoutError, ConnectionError, ValueError) as error:
            raise SourceUnavailable(str(getattr(error, "reason", error))) from None

    return bring
