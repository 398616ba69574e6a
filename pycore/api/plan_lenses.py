"""The lenses of a plan: from the box, or each half dioptre, ranked, with what is missing.

Tests: ``tests/unit/test_box_plan.py``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Final

from pycore.api.box_items import (
    CONSTANTS,
    Stock,
    Usable,
    expiry_note,
    fill_of,
    key_of,
)
from pycore.api.lens_words import choice_value, missing_value
from pycore.api.plan_answers import half_dioptres, lens_outlook, outlook_value
from pycore.api.wording import quantity
from pycore.belief.eye import REFERENCE_OUTSIDE_MM
from pycore.belief.outcome import FinalView
from pycore.belief.readings import prior_belief
from pycore.errors import GuylineError
from pycore.planning.lens_choice import LensOutlook
from pycore.planning.lens_ranking import Candidate, choose, nearest_missing
from pycore.planning.titrate import Case

#: Kinds of the box that would rest nearest the target are looked at in full.
MOST_KINDS: Final = 9
#: Half dioptres on each side among which a missing power is sought.
_MISSING_EACH_SIDE: Final = 6
_MOST_MISSING: Final = 4

#: The eye as it is planned with the constants of one lens.
EyeWith = Callable[[dict[str, Any]], Case]


@dataclass(frozen=True, slots=True)
class Offered:
    """One lens with the eye it was judged in and its outlook; ``stock`` is ``None`` off the box."""

    key: str
    label: str
    found: LensOutlook
    target_d: float
    stock: Stock | None

    def candidate(self) -> Candidate:
        pieces = None if self.stock is None else self.stock.pieces
        return Candidate.of(self.key, self.found, target_d=self.target_d, pieces=pieces)


def half_dioptre_lenses(
    case: Case, lens: dict[str, Any], at_hand: Usable, *, centre_d: float
) -> dict[str, Any]:
    """Each half dioptre around ``centre_d``, the chosen lens always among them.

    ``at_hand`` is a box of which nothing can be used; an empty one is no box.
    """
    chosen = lens["lens_power_d"]
    offered = [_plain(case, power) for power in half_dioptres(centre_d)]
    if chosen is not None and all(one.found.lens_power_d != chosen for one in offered):
        offered = sorted([*offered, _plain(case, chosen)], key=lambda one: one.found.lens_power_d)
    lenses = [{**_value(one, None), "chosen": one.found.lens_power_d == chosen} for one in offered]
    labels = {one.key: one.label for one in offered}
    return {
        "lenses": lenses,
        "choice": choice_value(choose([one.candidate() for one in offered]), labels),
        "missing_powers": [],
        "box": _box_value(at_hand, 0, []) if at_hand.left_out else None,
    }


def box_lenses(
    usable: Usable, lens: dict[str, Any], eye_with: EyeWith, *, centre_d: float, today: date | None
) -> dict[str, Any]:
    """The box's lenses nearest the target, ranked; the chosen lens is shown even if not in it."""
    offered, faulty = nearest_of_box(usable, eye_with)
    candidates = [one.candidate() for one in offered]
    labels = {one.key: one.label for one in offered}
    found = choose(candidates)
    shown = _with_chosen(offered, lens, eye_with)
    first = None if found is None else found.first.key
    absent = absent_powers(usable, lens, eye_with, first=first, centre_d=centre_d)
    missing = nearest_missing(found, [one.candidate() for one in absent])
    return {
        "lenses": [
            {**_value(one, today), "chosen": one.key == _chosen_key(lens)} for one in shown
        ],
        "choice": choice_value(found, labels),
        "missing_powers": missing_value(missing, {one.key: one.label for one in absent}),
        "box": _box_value(usable, len(offered), faulty),
    }


def _box_value(usable: Usable, shown: int, faulty: list[dict[str, str]]) -> dict[str, Any]:
    """How much of the box is shown, and every lens that is not offered with the reason."""
    kinds = len(usable.stock) - len(faulty)
    return {"kinds": kinds, "not_shown": kinds - shown, "left_out": [*usable.left_out, *faulty]}


def nearest_of_box(
    usable: Usable, eye_with: EyeWith
) -> tuple[list[Offered], list[dict[str, str]]]:
    """The outlook of the kinds that would rest nearest the target, in the order of power.

    Kinds for which no eye can be computed come back with the reason.
    """
    eyes: dict[str, Case] = {}
    models: dict[tuple[float | None, ...], Case] = {}
    faulty = []
    for one in usable.stock:
        model = tuple(one.row[name] for name in CONSTANTS)
        try:
            eyes[one.key] = models.get(model) or models.setdefault(model, eye_with(fill_of(one.row)))
        except GuylineError as error:
            faulty.append({"id": one.ids[0], "label": one.label, "why": error.message})
    able = [one for one in usable.stock if one.key in eyes]
    near = sorted(able, key=lambda one: resting_distance_d(eyes[one.key], one.row["lens_power_d"]))
    kept = {one.key for one in near[:MOST_KINDS]}
    return [_stocked(eyes[one.key], one) for one in able if one.key in kept], faulty


def resting_distance_d(case: Case, power_d: float) -> float:
    """How far from target a lens of this power would rest without titration."""
    view = FinalView.of(replace(case.eye, lens_power_d=power_d), prior_belief(case.priors))
    return abs(view.linear(REFERENCE_OUTSIDE_MM).value_d - case.target_d)


def _stocked(case: Case, stock: Stock) -> Offered:
    found = lens_outlook(case, stock.row["lens_power_d"])
    return Offered(stock.key, stock.label, found, case.target_d, stock)


def _plain(case: Case, power_d: float) -> Offered:
    found = lens_outlook(case, power_d)
    return Offered(f"{power_d:g}", quantity(power_d, "lens_power_d"), found, case.target_d, None)


def _chosen_key(lens: dict[str, Any]) -> str | None:
    return None if lens["lens_power_d"] is None else key_of(lens)


def _with_chosen(offered: list[Offered], lens: dict[str, Any], eye_with: EyeWith) -> list[Offered]:
    key = _chosen_key(lens)
    if key is None or not has_constants(lens) or any(one.key == key for one in offered):
        return offered
    own = fill_of(lens)
    power = lens["lens_power_d"]
    case = eye_with(own)
    chosen = Offered(key, quantity(power, "lens_power_d"), lens_outlook(case, power), case.target_d, None)
    return sorted([*offered, chosen], key=lambda one: one.found.lens_power_d)


def has_constants(lens: dict[str, Any]) -> bool:
    return any(lens[name] is not None for name in CONSTANTS)


def absent_powers(
    usable: Usable, lens: dict[str, Any], eye_with: EyeWith, *, first: str | None, centre_d: float
) -> list[Offered]:
    """Half dioptres not in the box, of the model of its first lens (or of the eye's own)."""
    model = next((fill_of(one.row) for one in usable.stock if one.key == first), None)
    if model is None and not has_constants(lens):
        return []
    model = model or fill_of(lens)
    case = eye_with(model)
    held = {one.row["lens_power_d"] for one in usable.stock if one.row["lens_name"] == model["lens_name"]}
    powers = half_dioptres(centre_d, each_side=_MISSING_EACH_SIDE)
    near = sorted(powers, key=lambda power: resting_distance_d(case, power))[:_MOST_MISSING]
    return [_plain(case, power) for power in near if power not in held]


def _value(one: Offered, today: date | None) -> dict[str, Any]:
    value = {"key": one.key, "label": one.label, **outlook_value(one.found, target_d=one.target_d)}
    if one.stock is None:
        return {**value, "pieces": None, "fill": None, "note": None}
    return {
        **value,
        "pieces": one.stock.pieces,
        "fill": fill_of(one.stock.row),
        "note": expiry_note(one.stock.soonest, today),
    }

