"""What changes in numbers is taken out of the changelog as it is written."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from webapp.build.errors import BuildError
from webapp.build.numbers import CHANGELOG, HEADING, entries, numbers_json

TEXT = f"""# Changelog

## 0.3.0 (2026-12-01)

### What it does

- Nothing new.

{HEADING}

- The **drift** of a fresh tie is
  `0.05 D` less.
- Axis of the mean.

## 0.2.0

{HEADING}

- None: as before.
"""


def test_entries_are_read_with_their_version_and_without_marks() -> None:
    assert json.loads(numbers_json(TEXT)) == [
        {"version": "0.3.0", "text": "The drift of a fresh tie is 0.05 D less."},
        {"version": "0.3.0", "text": "Axis of the mean."},
    ]


@pytest.mark.parametrize("text", ["## 0.4.0\n\n### What it does\n\n- A.\n", f"## 0.4.0\n\n{HEADING}\n\n## 0.3.0\n"])
def test_a_version_that_says_nothing_stops_the_build(text: str) -> None:
    with pytest.raises(BuildError, match=r"version 0\.4\.0 says nothing"):
        numbers_json(text)


def test_the_build_carries_this_changelog(dist: Path) -> None:
    written = CHANGELOG.read_text(encoding="utf-8")
    assert (dist / "numbers.json").read_bytes() == numbers_json(written)
    assert list(entries(written))
