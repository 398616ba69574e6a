"""The whole answer of a titration, shared by ``advise`` and the theatre screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pycore.api.case_history import Start
from pycore.api.other_options import AtHand, latest_iop_mmhg, other_options_value
from pycore.api.schema import Notes
from pycore.api.titration_items import advice_value
from pycore.api.titration_notes import note_titration, note_working_distance
from pycore.planning.titrate import Case, Titration, titrate, without_doubtful


def titration_answer(
    case: Case,
    readings: list[dict[str, Any]],
    notes: Notes,
    *,
    at_hand: Sequence[AtHand] | None = None,
    start: Start | None = None,
) -> tuple[Titration, dict[str, Any]]:
    """The titration and its answer; ``readings`` are the requests behind ``case.readings``, ``start``
    what the surgeon's own eyes say."""
    titration = titrate(case)
    note_titration(case, titration, notes)
    note_working_distance(case, readings, notes)
    return titration, {
        **advice_value(titration, target_d=case.target_d),
        "other_options": other_options_value(
            case, titration, iop_mmhg=latest_iop_mmhg(readings), at_hand=at_hand,
            entries_mm=start.settled_entries_mm if start else (),
        ),
        "without_doubtful": _without_doubtful(case, titration),
    }


def _without_doubtful(case: Case, titration: Titration) -> dict[str, Any] | None:
    """The advice without the most doubtful reading, by its index, when one must be named."""
    doubtful = without_doubtful(case, titration)
    if doubtful is None:
        return None
    index, other = doubtful
    return {"reading": index, **advice_value(other, target_d=case.target_d)}
