"""Why one lens stands before another, and which missing lens would be better, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from pycore.planning.lens_ranking import Candidate, Choice, Missing
from pycore.words import counted, say

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
        return say(
            "{labels} is the only lens at hand: {within} {chance}.",
            labels=labels[first.key], within=_WITHIN, chance=points(first.chance),
        )
    return _WHY[choice.by](first, second, labels[first.key], labels[second.key])


def _by_chance(first: Candidate, second: Candidate, one: str, two: str) -> str:
    return (
        say(
            "{one} stands before {two} because its {within} is {chance} against {chance2}.",
            one=one, two=two, within=_WITHIN, chance=points(first.chance), chance2=points(second.chance),
        )
    )


def _by_middle(first: Candidate, second: Candidate, one: str, two: str) -> str:
    return (
        say(
            "{one} and {two} have nearly the same chance ({chance} and {chance2}); the target lies "
            "{middle_d} D from the middle of the reach of the first, {middle_d2} D from that of the "
            "second.",
            one=one, two=two, chance=points(first.chance), chance2=points(second.chance),
            middle_d=f"{abs(first.middle_d):.2f}", middle_d2=f"{abs(second.middle_d):.2f}",
        )
    )


def _by_myopia(first: Candidate, second: Candidate, one: str, two: str) -> str:
    return (
        say(
            "{one} and {two} have nearly the same chance ({chance} and {chance2}) and the target about "
            "equally near mid-reach; the first leans to myopia, the second to hyperopia.",
            one=one, two=two, chance=points(first.chance), chance2=points(second.chance),
        )
    )


def _alike(first: Candidate, second: Candidate, one: str, two: str) -> str:
    return (
        say(
            "{one} and {two} are alike for this eye ({chance} and {chance2} within 0.50 D after "
            "titration).",
            one=one, two=two, chance=points(first.chance), chance2=points(second.chance),
        )
    )


_WHY: Final = {"chance": _by_chance, "middle": _by_middle, "myopic": _by_myopia, "alike": _alike}


def if_it_breaks(choice: Choice, labels: Mapping[str, str]) -> str:
    """What is left when one piece of the first is lost."""
    if choice.reserve is None:
        return say(
            "If {labels} breaks, nothing is left: no other lens is at hand.",
            labels=labels[choice.first.key],
        )
    left = points(choice.reserve.chance)
    if choice.reserve.key == choice.first.key:
        have = "take a second piece of it" if choice.first.pieces is None else "a second piece of it is there"
        return say(
            "If {labels} breaks, {have} ({left}).",
            labels=labels[choice.first.key], have=have, left=left,
        )
    return say(
        "If {labels} breaks, use {labels2} ({left}).",
        labels=labels[choice.first.key], labels2=labels[choice.reserve.key], left=left,
    )


def missing_value(missing: Sequence[Missing], labels: Mapping[str, str]) -> list[dict[str, Any]]:
    """Lenses not at hand that would be better, with how much."""
    return [
        {
            "lens_power_d": float(one.candidate.key),
            "titrated_within_050": one.candidate.chance,
            "gain": one.gain,
            "message": say(
                "No usable {labels} is in the box: {chance} within 0.50 D after titration, {gain}.",
                labels=labels[one.candidate.key], chance=points(one.candidate.chance),
                gain=_more(one.gain),
            ),
        }
        for one in missing
    ]


def _more(gain: float) -> str:
    count = max(round(100 * gain), 1)
    return say("{count} point{value} more", count=count, value=counted(count, "", "s"))


def points(chance: float) -> str:
    """A chance as a whole percentage, as the screen shows it."""
    return f"{chance:.0%}".replace("%", " %")
