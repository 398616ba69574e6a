"""Twenty kills of the whole browser while it is typed into; many more: ``python3 -m tests.crash.kills``."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from tests.crash.kept import Book
from tests.crash.kills import Run
from webapp.build.assemble import Built

KILLS, MINUTES, SEED = 20, 12, 20

STATE: dict[str, Any] = {
    "records": [{"code": "A", "lens": {"lens_name": "lens 2"}, "readings": [{"refraction_d": 3}], "updated_at": "x"}],
    "replayed": [{"code": "A", "lens": {"lens_name": "lens 2"}, "readings": [{"refraction_d": 3}], "updated_at": "y"}],
    "damaged": [], "ahead": None, "missing": None, "drafts": {}, "screen": {}, "box": [{"lens_power_d": 4}],
}


@pytest.fixture
def book() -> Book:
    """Two names were tried and the first was acknowledged; a reading and a box row were acknowledged."""
    name = {"way": "line", "path": "lens.lens_name"}
    orders = {1: {**name, "n": 1, "value": "lens 1"}, 2: {**name, "n": 2, "value": "lens 2"},
              3: {"n": 3, "way": "entry", "path": "readings", "value": 3},
              4: {"n": 4, "way": "box", "path": "box", "value": 4}}
    return Book("A", orders, tried=[1, 2, 3, 4], shown={1: None, 3: None, 4: None})


def test_what_is_whole_is_no_loss(book: Book) -> None:
    assert book.losses(STATE, None) == []


@pytest.mark.parametrize(("part", "value", "said"), [
    ("records", [], "gone"),
    ("box", [], "box: 4 is gone"),
    ("replayed", [None], "log of A"),
    ("damaged", [{"code": "A", "why": "cut"}], "damaged: A"),
    ("ahead", {"code": "A"}, "ahead"),
    ("missing", {"eyes": 1}, "called gone"),
])
def test_every_kind_of_loss_is_seen(book: Book, part: str, value: Any, said: str) -> None:
    assert any(said in text for text in book.losses({**STATE, part: value}, None))


def test_an_older_value_than_the_acknowledged_one_is_a_loss(book: Book) -> None:
    book.shown[2] = None
    older = copy.deepcopy(STATE)
    older["records"][0]["lens"]["lens_name"] = older["replayed"][0]["lens"]["lens_name"] = "lens 1"
    assert any("'lens 1'" in text for text in book.losses(older, None))


@pytest.mark.timeout(900)
def test_killed_at_random_moments_nothing_acknowledged_is_lost(built: Built, tmp_path: Path) -> None:
    result = Run(built.folder, tmp_path, seed=SEED).go(KILLS, MINUTES)
    assert result.losses == []
    assert result.broken == []
    assert result.kills == KILLS, result
    assert result.shown >= KILLS, result
