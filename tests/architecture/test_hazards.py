"""Every control in the table of hazards names tests that exist."""

from __future__ import annotations

import re

from webapp.build.paths import ROOT

#: What the table must speak of, by a word of its row.
NAMED = ("sign", "Wrong eye", "Length after a cut", "Haptics swapped", "not logged", "stale", "Another patient",
         "file of the cache", "Phone dies", "version changes")


def rows() -> list[list[str]]:
    """Cells of every hazard."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.split("## Hazards", 1)[1].split("## ", 1)[0]
    return [[cell.strip() for cell in line.strip("|").split("|")]
            for line in table.splitlines() if line.startswith("| ")][1:]


def test_every_hazard_has_harm_control_and_a_test_that_exists() -> None:
    for cells in rows():
        assert len(cells) == 4 and all(cells), cells
        tests = re.findall(r"`([^`]+)`", cells[3])
        assert tests, cells
        assert [name for name in tests if not (ROOT / name).exists()] == []


def test_the_hazards_that_must_be_there_are() -> None:
    faults = [cells[0] for cells in rows()]
    assert [word for word in NAMED if not any(word in fault for fault in faults)] == []


def test_no_folder_stands_twice_in_the_map() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.split("## Where things are", 1)[1].split("```", 1)[0]
    names = re.findall(r"^\| (`[^|]+`) \|", table, re.M)
    assert len(names) == len(set(names))
