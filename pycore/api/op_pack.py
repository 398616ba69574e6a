"""``pack``: the smallest set of lenses for a list of eyes, with a first choice and a spare each.

The rules stand in :mod:`pycore.planning.packing` and are said in the answer. Without a box
every half dioptre of each eye's own lens can be taken. Tests: ``tests/unit/test_box_pack.py``.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final

from pycore.api.box_items import BOX_ITEM, BOX_TODAY_ITEM, Usable, fill_of, key_of, label_of, usable
from pycore.api.case_history import HISTORY_ITEMS, start_of
from pycore.api.case_numbers import DEFAULT_FORMULA, sound_case
from pycore.api.lens_words import missing_value
from pycore.api.op_plan_case import eye_with_lens, formulas_of, missing_for_plan, with_constants
from pycore.api.operation import Answer, Operation
from pycore.api.pack_words import Listed, pack_value
from pycore.api.plan_answers import half_dioptres, lens_outlook, nearest_step_d
from pycore.api.plan_lenses import EyeWith, Offered, absent_powers, nearest_of_box, resting_distance_d
from pycore.api.schema import Notes, flag, listing, mapping, optional, required, whole
from pycore.errors import GuylineError, Inconsistent, MissingField
from pycore.planning.lens_ranking import choose, nearest_missing
from pycore.planning.packing import Eye, pack

MOST_EYES: Final = 60
_MOST_DAYS: Final = 31
#: Half dioptres of an eye that are looked at; the rest lie more than 10 points below its best.
_NEAREST: Final = 6

ITEMS: Final = (
    required("cases", listing(mapping, most=MOST_EYES), about="The stored eyes of the list."),
    BOX_ITEM,
    BOX_TODAY_ITEM,
    optional("days", listing(whole(1, _MOST_DAYS), most=MOST_EYES), about="Day of surgery of each case."),
    optional("strict", flag, default=False, about="A spare of its own for every eye."),
    *HISTORY_ITEMS,
)


@dataclass(slots=True)
class _Kinds:
    """Every kind of lens that any eye of the list could take."""

    labels: dict[str, str] = field(default_factory=dict)
    powers: dict[str, float] = field(default_factory=dict)
    stock: dict[str, int | None] = field(default_factory=dict)

    def add(self, key: str, label: str, *, power_d: float, pieces: int | None) -> None:
        self.labels[key], self.powers[key], self.stock[key] = label, power_d, pieces

    def order(self) -> list[str]:
        return sorted(self.powers, key=lambda key: (self.powers[key], key))


def run(request: dict[str, Any], notes: Notes) -> Answer:
    kinds = _Kinds()
    listed: list[Listed] = []
    left_out = []
    for document, day in zip(request["cases"], _days(request), strict=True):
        try:
            listed.append(_listed(document, day, request, notes, kinds))
        except GuylineError as error:
            left_out.append({"code": str(document.get("code"))[:40], "why": error.message})
    order = kinds.order()
    eyes = [Eye(one.day, tuple(one.chances.get(key) for key in order)) for one in listed]
    packed = pack(eyes, [kinds.stock[key] for key in order], strict=request["strict"])
    labels = [kinds.labels[key] for key in order]
    value = pack_value(listed, eyes, packed, labels, strict=request["strict"])
    return Answer({**value, "left_out": left_out})


def _days(request: dict[str, Any]) -> list[int]:
    days = request["days"]
    if days is None:
        return [1] * len(request["cases"])
    if len(days) != len(request["cases"]):
        raise Inconsistent("days must hold one day for each case.", field="days")
    return list(days)


def _listed(
    document: dict[str, Any], day: int, request: dict[str, Any], notes: Notes, kinds: _Kinds
) -> Listed:
    """One eye of the list; raises a named error for one that cannot be planned."""
    stored = sound_case(document)
    _refuse_operated(stored)
    base = stored["plan"]["formula"] or DEFAULT_FORMULA
    at_hand = usable(request["box"] or [], formula=base, today=request["today"])
    case, _ = with_constants(stored, at_hand)
    centre = _centre_d(case, base)
    eye_with = eye_with_lens(case, start_of(request, notes, formula=base, case=stored))
    if request["box"] is None:
        chances = _half(case["lens"], eye_with, kinds, centre)
        return Listed(stored["code"], stored["eye"], day, chances, None)
    offered, _ = nearest_of_box(at_hand, eye_with)
    missing = _missing(at_hand, case["lens"], offered, eye_with, centre)
    return Listed(stored["code"], stored["eye"], day, _boxed(offered, kinds), missing)


def _refuse_operated(case: dict[str, Any]) -> None:
    if case["decisions"] or case["haptic_log"] or case["follow_ups"]:
        raise Inconsistent("This eye was operated on already.", field="cases")


def _centre_d(case: dict[str, Any], base: str) -> float:
    """The half dioptre nearest to the base formula's power."""
    missing = missing_for_plan(case)
    if missing:
        raise MissingField(missing[0]["message"], field=missing[0]["path"])
    found = formulas_of(case, Notes())[base]
    if found["power_d"] is None:
        raise MissingField(found["why_not"], field="lens.a")
    return nearest_step_d(found["power_d"])


def _boxed(offered: list[Offered], kinds: _Kinds) -> dict[str, float]:
    """The chance of each lens of the box that would rest near the target."""
    for one in offered:
        pieces = None if one.stock is None else one.stock.pieces
        kinds.add(one.key, one.label, power_d=one.found.lens_power_d, pieces=pieces)
    return {one.key: one.found.titrated_within_050 for one in offered}


def _half(
    lens: dict[str, Any], eye_with: EyeWith, kinds: _Kinds, centre_d: float
) -> dict[str, float]:
    """The chance of each half dioptre of the eye's own lens near the target."""
    case = eye_with({**lens, "lens_power_d": centre_d})
    powers = sorted(half_dioptres(centre_d), key=lambda power: resting_distance_d(case, power))
    chances = {}
    for power in powers[:_NEAREST]:
        row = {**fill_of(lens), "lens_power_d": power}
        kinds.add(key_of(row), label_of(row), power_d=power, pieces=None)
        chances[key_of(row)] = lens_outlook(case, power).titrated_within_050
    return chances


def _missing(
    at_hand: Usable, lens: dict[str, Any], offered: list[Offered], eye_with: EyeWith, centre_d: float
) -> str | None:
    """The power that is not in the box and would be better for this eye."""
    found = choose([one.candidate() for one in offered])
    first = None if found is None else found.first.key
    absent = absent_powers(at_hand, lens, eye_with, first=first, centre_d=centre_d)
    better = nearest_missing(found, [one.candidate() for one in absent], most=1)
    said = missing_value(better, {one.key: one.label for one in absent})
    return said[0]["message"] if said else None


OPERATION = Operation(
    "pack", "The smallest set of lenses for a list of eyes: a first choice and a spare each.", ITEMS, run
)
