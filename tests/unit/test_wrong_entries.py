"""The app's reaction to every slip of the table, and to an eye without any."""

from __future__ import annotations

import pytest

from tests.unit.wrong_entries import EYE, TRIALS, Trial, reactions

KINDS = {"side", "sign", "unit", "notation", "lens", "patient", "length", "eye"}


def test_an_eye_without_a_slip_is_passed_without_a_word() -> None:
    assert reactions(EYE) == {}


@pytest.mark.parametrize("trial", TRIALS, ids=lambda trial: trial.slip)
def test_every_slip_is_met(trial: Trial) -> None:
    found = reactions(trial.case)
    assert trial.code in found, found
    assert found[trial.code].words.endswith((".", "?"))


def test_the_table_covers_every_kind() -> None:
    assert {trial.kind for trial in TRIALS} == KINDS
    assert len({trial.slip for trial in TRIALS}) == len(TRIALS) >= 30
