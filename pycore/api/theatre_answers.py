"""Parts of the theatre answer: lengths, chart, sentence, and the read-back of the cut."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.theatre_rules_out import rests_on
from pycore.api.titration_notes import drawn_out_words
from pycore.api.wording import ABSENT, quantity, word
from pycore.fixation.clock import spoken
from pycore.fixation.haptic import FlangePlan, reachable_mm
from pycore.fixation.haptic_log import HapticNow
from pycore.fixation.haptic_path import SPARE_MM
from pycore.planning.minimum import grid
from pycore.planning.next_reading import NextReading
from pycore.planning.titrate import Case, Titration
from pycore.planning.titration import Option
from pycore.words import joined, say

_LEVER: Final = "more cut \N{RIGHTWARDS ARROW} lens further forward \N{RIGHTWARDS ARROW} more "
_CHART_STEPS: Final = 24

_PLACES: Final = {
    "anywhere": "where the haptics lie now",
    "drawn_out": "with both haptics drawn out to the first resistance, not past it",
    "pushed_in": "with both haptics pushed in, 1.0 mm still outside",
    "between": "with both haptics half way",
    "advised": "with the haptics at the advised length",
}


def lever(lens_power_d: float | None) -> str:
    """What a cut does: myopic with a plus lens, hyperopic with a minus lens."""
    return _LEVER + drawn_out_words(lens_power_d or 0.0)[0]


def length_value(now: HapticNow) -> dict[str, Any]:
    """One haptic as it is."""
    return {
        "outside_now_mm": now.outside_now_mm,
        "removed_mm": now.removed_mm,
        "original_mm": now.original_mm,
        "measured": now.measured,
        "flanged": now.flanged,
        "buried": now.buried,
    }


def chart_value(case: Case, titration: Titration) -> dict[str, Any]:
    """The belief band over everything that can be reached."""
    low, high = reach_of(case, titration)
    points = (
        (e, titration.view.at(e)) for e in (grid(low, high, steps=_CHART_STEPS) if high > low else (low,))
    )
    return {
        "line": [
            {"outside_mm": e, "mean_d": at.mean_d, "low80_d": at.low80_d, "high80_d": at.high80_d}
            for e, at in points
        ],
        "target_d": case.target_d,
        "reach_low_mm": low,
        "reach_high_mm": high,
    }


def reach_of(case: Case, titration: Titration) -> tuple[float, float]:
    """Least and greatest length still reachable."""
    if case.haptic_state == "both_free":
        return reachable_mm(case.plan)
    ends = titration.advice.reach
    return ends[0].outside_mm, ends[1].outside_mm


def next_message(following: NextReading) -> str:
    """Where to read next, in words."""
    if following.action == "enough":
        return "Another one would hardly change the outcome."
    if following.action == "none":
        return "No further reading helps now."
    length = following.outside_mm
    where = _PLACES[following.place]
    shown = "" if length is None else say(
        " ({length} to the original tip)",
        length=quantity(length, "outside_mm"),
    )
    return say("Read {where}{shown}.", where=where, shown=shown)


_NOTHING_TO_DO: Final = {
    "no_useful_adjustment": "No useful adjustment: centre and flange",
    "one_flanged": "One flange is made: the other haptic only centres the lens",
    "leave": "Both flanges are made: leave them",
    "buried": "Both flanges are buried: nothing is left to adjust",
}


def sentence(case: Case, titration: Titration, clocks: dict[str, str] | None) -> str:
    """The advice in one sentence, with what to expect."""
    advice = titration.advice
    expect = say("expect {option}", option=_outcome_text(advice.option))
    if advice.no_useful_adjustment:
        return say("{nothing_to_do}; {expect}.", nothing_to_do=_NOTHING_TO_DO[advice.reason], expect=expect)
    names = _names(clocks)
    cuts = joined(" and ", (
        say("{cut} from the {name} haptic", cut=quantity(cut, "cut_mm"), name=name)
        for cut, name in zip(advice.option.cut_mm, names, strict=True)
    ))
    done = "Melt again after cutting" if advice.reason == "recut" else "Centre on the reflex, then cut"
    return say("{done} {cuts}; {expect}.", done=done, cuts=cuts, expect=expect)


def _outcome_text(option: Option) -> str:
    final = option.final
    low, high = quantity(final.low80_d, "refraction_d"), quantity(final.high80_d, "refraction_d")
    return say(
        "{mean_d} (80 %: {low} to {high})",
        mean_d=quantity(final.mean_d, "refraction_d"), low=low, high=high,
    )


def _names(clocks: dict[str, str] | None) -> tuple[str, str]:
    if clocks is None:
        return "first", "second"
    return spoken(clocks["a"]), spoken(clocks["b"])


def cut_lines(
    case: dict[str, Any],
    plan: FlangePlan,
    titration: Titration,
    option: Option,
    now: tuple[HapticNow, HapticNow],
    clocks: dict[str, str] | None,
) -> list[dict[str, str]]:
    """Eye, clock hour, length outside, cut, leave: read aloud before anything is cut."""
    lines = [
        {"label": "Case code", "value": case["code"]},
        {"label": "Eye", "value": word(case["eye"], "eye")},
    ]
    recut = titration.advice.reason == "recut"
    for name, haptic, cut in zip(_names(clocks), now, option.cut_mm, strict=True):
        value = _cut_text(haptic, cut, plan, recut=recut)
        lines.append({"label": say("Haptic at {name}", name=name), "value": value})
    lines.append({"label": "Expect", "value": _outcome_text(option)})
    if not case["readings"]:
        lines.append({"label": "Rests on", "value": rests_on(0)})
    if option is not titration.advice.option:
        lines.append({"label": "Decided", "value": "the surgeon's own cut, not the advised one"})
    return lines


def _cut_text(now: HapticNow, cut_mm: float, plan: FlangePlan, *, recut: bool) -> str:
    if now.flanged:
        again = say(
            "cut {cut_mm} off, melt again {melt_mm}",
            cut_mm=quantity(cut_mm, "cut_mm"), melt_mm=quantity(plan.melt_mm, "melt_mm"),
        )
        return say("flange made; {value}", value=again if recut else "leave it")
    melt = say("melt {melt_mm}", melt_mm=quantity(plan.melt_mm, "melt_mm"))
    if now.outside_now_mm is None:
        return say(
            "outside now {absent}; cut {cut_mm}; {melt}",
            absent=ABSENT, cut_mm=quantity(cut_mm, "cut_mm"), melt=melt,
        )
    held = _held_mm(now.outside_now_mm, now.removed_mm, cut_mm, plan)
    outside = quantity(now.outside_now_mm, "outside_now_mm")
    drawn = say("outside now {outside}", outside=outside)
    if held > now.outside_now_mm:
        drawn += say(", draw out to {held}", held=quantity(held, "outside_now_mm"))
    cut = say("cut {cut_mm}", cut_mm=quantity(cut_mm, "cut_mm")) if cut_mm else "cut nothing"
    return say(
        "{drawn}; {cut}; leave {quantity}; {melt}",
        drawn=drawn, cut=cut, quantity=quantity(held - cut_mm, "outside_now_mm"), melt=melt,
    )


def _held_mm(outside_mm: float, removed_mm: float, cut_mm: float, plan: FlangePlan) -> float:
    """How far the haptic must be drawn out to be cut and melted with a hold, up to taut."""
    needed = min(cut_mm + plan.melt_mm + SPARE_MM, plan.drawn_out_mm - removed_mm)
    return max(outside_mm, needed)
