"""``learn``: what a surgeon's finished eyes say, and how they came to say it.

Contrasts are what refractions determine; single unknowns are shown as what they will move
the next prediction by. The answer's ``surgeon`` can be handed to ``advise``, ``plan_case``
and ``theatre_case``.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any, Final

from pycore.api.case_door import day
from pycore.api.case_history import CaseHistory, learn_from_cases, shifts_value
from pycore.api.case_learning import LeftOut
from pycore.api.case_numbers import DEFAULT_FORMULA
from pycore.api.operation import Answer, Operation
from pycore.api.own_figures import figures_value
from pycore.api.schema import Notes, choice, listing, mapping, optional, required, text
from pycore.api.surgeon_items import surgeon_value
from pycore.belief.priors import READING_NOISE_SD_D, TRAVEL_RATIO, TUNNEL_EFFECT, default_priors
from pycore.belief.surgeon import LEAST_FACTOR, MOST_FACTOR, Factor, History, TrailStep
from pycore.belief.surgeon_next import (
    Interval,
    contrasts,
    entry_interval,
    entry_settled,
    final_against_plan,
    next_priors,
    surgeon_now,
    travel_interval,
    tunnel_interval,
    usual_slope_d_per_mm,
)
from pycore.words import counted, joined, say

#: Below this the intervals say more than the means; common practice, no source.
SMALL_SERIES: Final = 10

ITEMS = (
    required("cases", listing(mapping), about="The surgeon's stored eyes."),
    optional("formula", choice("formula"), default=DEFAULT_FORMULA, about="Base formula to learn for."),
    optional("as_of", day, about="Only what was known on this date."),
    optional("after", day, about="Only eyes operated after this date."),
    optional("ignore", listing(text), default=[], about="Codes of eyes excluded by hand."),
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    found = learn_from_cases(
        request["cases"],
        formula=request["formula"],
        as_of=_written(request["as_of"]),
        after=_written(request["after"]),
        ignore=request["ignore"],
    )
    _warn(found, request["ignore"], notes)
    return Answer(_value(found, request["formula"]), {"formula": request["formula"]})


def _written(given: date | None) -> str | None:
    return None if given is None else given.isoformat()


def _warn(found: CaseHistory, ignore: list[str], notes: Notes) -> None:
    belief = found.history.belief
    if belief.eyes < SMALL_SERIES:
        count = say(
            "{eyes} {value}",
            eyes=belief.eyes, value=counted(belief.eyes, "eye teaches", "eyes teach"),
        )
        notes.warn("few_eyes", say(
            "Only {count} so far: read the intervals, not the means.",
            count=count,
        ), field="cases")
    for name, factor in (("plan", belief.plan_factor), ("after readings", belief.after_factor)):
        if factor.bound is not None:
            notes.warn("factor_at_bound", say(
                "The spread factor {name} would be {unbounded}; it is kept between {least_factor} and "
                "{most_factor}. Look at the outlying eyes.",
                name=name, unbounded=f"{factor.unbounded:.2f}", least_factor=f"{LEAST_FACTOR:g}",
                most_factor=f"{MOST_FACTOR:g}",
            ),
                       field="cases")
    unknown = set(ignore) - {one.code for one in found.left_out}
    if unknown:
        listed = joined(", ", sorted(unknown))
        notes.warn("not_among_cases", say(
            "Excluded by hand but not among the eyes: {listed}.",
            listed=listed,
        ), field="ignore")


def _value(found: CaseHistory, formula: str) -> dict[str, Any]:
    history = found.history
    belief = history.belief
    slope = usual_slope_d_per_mm(history.lessons)
    defaults = default_priors(axial_method="optical", lens_power_d=20.0)
    return {
        "eyes": belief.eyes,
        "used": [
            {"code": one.code, "surgery_on": one.on, "against_plan_d": one.residual[-1]}
            for one in history.lessons
        ],
        "figures": figures_value(history),
        "left_out": [_left_out(one) for one in found.left_out],
        "assumed": {code: list(texts) for code, texts in found.assumed.items()},
        "contrasts": _contrasts(history),
        "slope_d_per_mm": slope,
        "travel_ratio": _from_default(travel_interval(history), TRAVEL_RATIO.mean),
        "entry_effect": {**_interval(entry_interval(history)), "settled": entry_settled(history)},
        "tunnel_effect": _from_default(tunnel_interval(history), TUNNEL_EFFECT.mean),
        "noise": [
            {"instrument": name, "default_sd_d": READING_NOISE_SD_D[name], "sd_d": sd_d,
             "readings": history.readings[name]}
            for name, sd_d in belief.noise_sd_d.items()
        ],
        "factors": {"plan": _factor(belief.plan_factor), "after_readings": _factor(belief.after_factor)},
        "shifts": shifts_value(defaults, next_priors(belief, defaults)),
        "trail": [_step(step, slope) for step in history.trail],
        "surgeon": surgeon_value(surgeon_now(history), formula=formula),
    }


def _left_out(one: LeftOut) -> dict[str, str]:
    return {"code": one.code, "reason": one.reason, "message": one.message}


def _contrasts(history: History) -> list[dict[str, Any]]:
    return [
        {"name": one.name, "instrument": one.instrument, "unit": "D", **_interval(one.interval)}
        for one in contrasts(history)
    ]


def _interval(interval: Interval) -> dict[str, Any]:
    low80, high80 = interval.within80
    low95, high95 = interval.within95
    return {
        "mean": interval.mean,
        "sd": interval.sd,
        "low80": low80,
        "high80": high80,
        "low95": low95,
        "high95": high95,
        "eyes": interval.eyes,
    }


def _from_default(found: Interval, default: float) -> dict[str, Any]:
    """An effect of the surgeon's own: the default plus the deviation learned."""
    return _interval(replace(found, mean=default + found.mean))


def _factor(factor: Factor) -> dict[str, Any]:
    return {"value": factor.value, "unbounded": factor.unbounded, "bound": factor.bound,
            "eyes": factor.eyes}


def _step(step: TrailStep, slope: float) -> dict[str, Any]:
    """The belief after this eye; its contrast is for the same usual eye all along."""
    belief = step.belief
    against_plan = final_against_plan(belief, slope)
    return {
        "code": step.code,
        "surgery_on": step.on,
        "eyes": belief.eyes,
        "final_against_plan": {"mean": against_plan.mean, "sd": against_plan.sd},
        "means": dict(zip(belief.names, belief.own.mean, strict=True)),
        "sds": {name: belief.sd(name) for name in belief.names},
        "plan_factor": belief.plan_factor.value,
        "after_factor": belief.after_factor.value,
    }


OPERATION = Operation(
    "learn", "What the surgeon's finished eyes say: contrasts, noise, spread, and the trail.", ITEMS, run
)
