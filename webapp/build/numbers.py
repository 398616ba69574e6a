"""What changes in numbers from version to version, taken from the changelog into the build."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from .errors import BuildError
from .paths import ROOT

CHANGELOG = ROOT / "CHANGELOG.md"
HEADING = "### Numbers that change"
NONE = re.compile(r"none\b", re.IGNORECASE)


def numbers_json(changelog: str) -> bytes:
    """``[{"version", "text"}, ...]``, newest first; an entry that begins with "None" is none."""
    changes = [{"version": version, "text": text} for version, text in entries(changelog)
               if not NONE.match(text)]
    return json.dumps(changes, indent=1, ensure_ascii=False).encode("utf-8")


def entries(changelog: str) -> Iterator[tuple[str, str]]:
    """Version and text of every entry under the heading; each version must have one."""
    for section in re.split(r"^## ", changelog, flags=re.M)[1:]:
        title, _, body = section.partition("\n")
        found = re.search(rf"^{HEADING}\n(.*?)(?=^#|\Z)", body, re.M | re.S)
        texts = [] if found is None else _items(found[1])
        if not texts:
            raise BuildError(f"CHANGELOG.md: version {title} says nothing under '{HEADING}'. "
                             "Write 'None' when no number changes.")
        yield from ((title.split()[0], text) for text in texts)


def _items(text: str) -> list[str]:
    """Entries of a list, each on one line and without marks of emphasis."""
    items = re.split(r"^[-*] ", text, flags=re.M)[1:]
    return [re.sub(r"[`*]", "", " ".join(item.split())) for item in items]
