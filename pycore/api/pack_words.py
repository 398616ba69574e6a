"""The answer of ``pack``: pieces to take, what each eye gets, and the same as text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from pycore.api.lens_words import points
from pycore.api.wording import word
from pycore.planning.packing import FIRST_MARGIN, SPARE_MARGIN, Eye, Packed
from pycore.words import counted, joined, say


@dataclass(frozen=True, slots=True)
class Listed:
    """One eye of the list with the chance of every kind that could be taken for it."""

    code: str
    side: str
    day: int
    chances: dict[str, float]
    missing: str | None


RULES: Final = {
    False: "The eyes of one day share their spares: a spare replaces one broken or dropped lens a day. It is "
    "never another eye\N{RIGHT SINGLE QUOTATION MARK}s first choice.",
    True: "Every eye has a spare of its own, so each of them may lose one lens.",
}
_MARGINS: Final = (
    say(
        "A first choice is within {value} points of the eye’s best lens at hand, a spare within {value2}.",
        value=f"{100 * FIRST_MARGIN:.0f}", value2=f"{100 * SPARE_MARGIN:.0f}",
    )
)


def pack_value(
    listed: Sequence[Listed], eyes: Sequence[Eye], packed: Packed, labels: Sequence[str], *, strict: bool
) -> dict[str, Any]:
    """Everything the packing screen shows, and the text to hand on."""
    shown = [_eye_value(place, listed, eyes, packed, labels, strict) for place in range(len(listed))]
    taken = [
        {"label": labels[kind], "pieces": pieces} for kind, pieces in enumerate(packed.pieces) if pieces
    ]
    value = {
        "pieces": taken,
        "total": packed.total,
        "least": packed.least,
        "proven": packed.proven,
        "sentence": _sentence(packed, len(listed)),
        "rule": say("{rules} {margins}", rules=RULES[strict], margins=_MARGINS),
        "eyes": shown,
        "without_first": sum(one["first"] is None for one in shown),
        "without_spare": sum(one["spare"] is None for one in shown),
    }
    return {**value, "text": _text(value)}


def _eye_value(
    place: int,
    listed: Sequence[Listed],
    eyes: Sequence[Eye],
    packed: Packed,
    labels: Sequence[str],
    strict: bool,
) -> dict[str, Any]:
    own, eye = listed[place], eyes[place]
    first, spare = packed.firsts[place], packed.spares[place]
    sharing = [
        listed[other].code
        for other in range(len(listed))
        if not strict and other != place and spare is not None
        and listed[other].day == own.day and packed.spares[other] == spare
    ]
    return {
        "code": own.code,
        "eye": own.side,
        "day": own.day,
        "first": _lens(first, eye, labels),
        "spare": _lens(spare, eye, labels),
        "shared_with": sharing,
        "lacks": _lacks(eye, first, spare, labels),
        "missing": own.missing,
    }


def _lens(kind: int | None, eye: Eye, labels: Sequence[str]) -> dict[str, Any] | None:
    return None if kind is None else {"label": labels[kind], "titrated_within_050": eye.chance(kind)}


def _lacks(eye: Eye, first: int | None, spare: int | None, labels: Sequence[str]) -> list[str]:
    """What this eye goes without, and which lenses would do."""
    lacks = []
    if first is None:
        lacks.append(say("No first choice is left. {eye}", eye=_would_do(eye, FIRST_MARGIN, labels)))
    if spare is None:
        lacks.append(say("No spare is left. {eye}", eye=_would_do(eye, SPARE_MARGIN, labels)))
    return lacks


def _would_do(eye: Eye, margin: float, labels: Sequence[str]) -> str:
    """The acceptable kinds, best first, at most three."""
    kinds = sorted(eye.acceptable(margin), key=lambda kind: (-eye.chance(kind), kind))[:3]
    if not kinds:
        return "No lens at hand can be used for it."
    return say("One more of these would do: {listed}.", listed=joined("; ", (labels[kind] for kind in kinds)))


def _sentence(packed: Packed, count: int) -> str:
    lenses = counted(packed.total, "1 lens", "{number} lenses")
    eyes = counted(count, "1 eye", "{number} eyes")
    if packed.proven:
        return say("{lenses} for {eyes}; no smaller set does as much.", lenses=lenses, eyes=eyes)
    return say(
        "{lenses} for {eyes}; a smaller set, of {least} or more, was not ruled out.",
        lenses=lenses, eyes=eyes, least=packed.least,
    )


def _text(value: dict[str, Any]) -> str:
    """The packing list without anything that names a patient: codes only."""
    lines = [say("Lenses to pack: {sentence}", sentence=value["sentence"])]
    lines += [say("{pieces} × {label}", pieces=one["pieces"], label=one["label"]) for one in value["pieces"]]
    lines += ["", "Eyes"]
    lines += [line for one in value["eyes"] for line in _eye_lines(one)]
    return joined("\n", [*lines, "", value["rule"]])


def _eye_lines(one: dict[str, Any]) -> list[str]:
    head = say(
        "{code}, {lower}, day {day}",
        code=one["code"], lower=word(one["eye"], "eye").lower(), day=one["day"],
    )
    parts = [say(
        "{name} {one}",
        name=name, one=_lens_text(one[name]),
    ) for name in ("first", "spare") if one[name] is not None]
    return [say("{head}: {listed}", head=head, listed=joined(", ", [*parts, *one["lacks"]]))]


def _lens_text(lens: dict[str, Any]) -> str:
    return say(
        "{label} ({titrated_within_050})",
        label=lens["label"], titrated_within_050=points(lens["titrated_within_050"]),
    )
