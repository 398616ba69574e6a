"""Why one lens stands before another, and which missing lens would be better, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from pycore.planning.lens_ranking import Candidate, Choice, Missing

_WITHIN: Final = "chance within 0.50 D after titration"


def choice_value(choice: Choice | None, labels: Mapping[str, str]) -> dict[str, Any] | None:
    """First, second and reserve by key, and the reason; ``None`` when nothing is at hand."""
    if choice is None:
        return None
    return {
        "first": choice.first.key,
        "second": None if choice.second is None else choice.second.key,
        "reserve": None if choice.reserve is None else choice.reserve.key,
        "by": choice.by,
        "why": why(choice, labels),
        "if_it_breaks": if_it_breaks(choice, labels),
    }


def why(choice: Choice, labels: Mapping[str, str]) -> str:
    """Why the first stands before the second, in one sentence."""
    first, second = choice.first, choice.second
    if second is None:
        return f"{labels[first.key]} is the only lens at hand: {_WITHIN} {points(first.chance)}."
    return _WHY[choice.by](first, second, labels[first.key], labels[second.key])


def _by_chance(first: Candidate, second: Candidate, one: str, two: str) -> str:
    return (
        f"{one} stands before {two} because its {_WITHIN} is {points(first.chance)} against "
        f"{points(second.chance)}."
    )


def _by_middle(first: Candidate, second: Candidate, one: str, two: str) -> str:
    return (
        f"{one} and {two} have nearly the same chance ({points(first.chance)} and "
        f"{points(second.chance)}); the target lies {abs(first.middle_d):.2f} D from the middle of the "
        f"reach of the first, {abs(second.middle_d):.2f} D from that of the second."
    )


def _by_myopia(first: Candidate, second: Candidate, one: str, two: str) -> str:
    return (
        f"{one} and {two} have nearly the same chance ({points(first.chance)} and "
        f"{points(second.chance)}) and the target about equally near mid-reach; the first leans to "
        "myopia, the second to hyperopia."
    )


def _alike(first: Candidate, second: Candidate, one: str, two: str) -> str:
    return (
        f"{one} and {two} are alike for this eye ({points(first.chance)} and {points(second.chance)} "
        "within 0.50 D after titration)."
    )


_WHY: Final = {"chance": _by_chance, "middle": _by_middle, "myopic": _by_myopia, "alike": _alike}


def if_it_breaks(choice: Choice, labels: Mapping[str, str]) -> str:
    """What is left when one piece of the first is lost."""
    if choice.reserve is None:
        return f"If {labels[choice.first.key]} breaks, nothing is left: no other lens is at hand."
    left = points(choice.reserve.chance)
    if choice.reserve.key == choice.first.key:
        have = "take a second piece of it" if choice.first.pieces is None else "a second piece of it is there"
        return f"If {labels[choice.first.key]} breaks, {have} ({left})."
    return f"If {labels[choice.first.key]} breaks, use {labels[choice.reserve.key]} ({left})."


def missing_value(missing: Sequence[Missing], labels: Mapping[str, str]) -> list[dict[str, Any]]:
    """Lenses not at hand that would be better, with how much."""
    return [
        {
            "lens_power_d": float(one.candidate.key),
            "titrated_within_050": one.candidate.chance,
            "gain": one.gain,
            "message": f"No usable {labels[one.candidate.key]} is in the box: {points(one.candidate.chance)} "
            f"within 0.50 D after titration, {_more(one.gain)}.",
        }
        for one in missing
    ]


def _more(gain: float) -> str:
    count = max(round(100 * gain), 1)
    return f"{count} point{'' if count == 1 else 's'} more"


def points(chance: float) -> str:
    """A chance as a whole percentage, as the screen shows it."""
    return f"{chance:.0%}".replace("%", " %")
