"""Request items and answer shapes shared by ``advise`` and the theatre screen."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.schema import Notes, choice, finite, number, optional, pair, record, required, whole
from pycore.belief.outcome import Outcome
from pycore.belief.priors import OVERRIDABLE, TRAVEL, Prior
from pycore.errors import OutOfRange
from pycore.fixation.haptic import NOT_BURIED_MM, SLIP_RISK_MELT_MM, FlangePlan
from pycore.planning.next_reading import NextReading
from pycore.planning.titrate import Titration
from pycore.planning.titration import Option
from pycore.words import say

HAPTIC_ITEM = required(
    "haptic",
    record(
        required("drawn_out_mm"),
        optional("melt_mm", number("melt_mm"), default=1.0),
        optional("bury_mm", number("bury_mm"), default=0.3),
        optional("removed_mm", pair(number("removed_mm")), default=(0.0, 0.0)),
        optional("centred_outside_mm", pair(number("outside_mm"))),
        optional("haptic_state", choice("haptic_state"), default="both_free"),
        optional("flanged", whole(0, 1), default=0, about="Which haptic has its flange, 0 or 1."),
    ),
    about="How the haptics will be ended and what has been done to them.",
)


#: No deviation of an eye from its formula reaches this, mm or D; beyond it, a unit is wrong.
_MOST_DEVIATION: Final = 10.0


def _deviation(value: Any, path: str, notes: Notes) -> float:
    result = finite(value, path, notes)
    if abs(result) > _MOST_DEVIATION:
        raise OutOfRange(
            say(
                "{path} must lie between -{most_deviation} and {most_deviation}; got {result}. Enter it "
                "in mm or D as its name says.",
                path=path, most_deviation=f"{_MOST_DEVIATION:g}", result=f"{result:g}",
            ),
            field=path,
        )
    return result


def _spread(value: Any, path: str, notes: Notes) -> float:
    result = _deviation(value, path, notes)
    if result < 0:
        raise OutOfRange(
            say(
                "{path} is a standard deviation and cannot be negative. Enter 0 or more.",
                path=path,
            ), field=path
        )
    return result


def _ratio(value: Any, path: str, notes: Notes) -> float:
    result = _deviation(value, path, notes)
    if result < 0:
        raise OutOfRange(
            say(
                "{path} cannot be negative: drawing haptic out moves the optic forward. Enter 0 or more.",
                path=path,
            ),
            field=path,
        )
    return result


_SD = required("sd", _spread)
_PRIOR = record(required("mean", _deviation), _SD)
_TRAVEL_PRIOR = record(required("mean", _ratio), _SD)
BELIEF_ITEM = optional(
    "belief",
    record(
        *(optional(n, _TRAVEL_PRIOR if n == "travel_ratio" else _PRIOR) for n in OVERRIDABLE)
    ),
    about="Overrides by name.",
)

CHANCES: Final = (("within_025", 0.25), ("within_050", 0.50), ("within_100", 1.00))


def overridden(priors: dict[str, Prior], belief: dict[str, Any] | None) -> dict[str, Prior]:
    """Default beliefs with the caller's in their place."""
    given = {name: Prior(**value) for name, value in (belief or {}).items() if value is not None}
    return {**priors, **given}


def flange_plan(haptic: dict[str, Any], notes: Notes, *, path: str = "haptic") -> FlangePlan:
    """The plan for the flanges; warns about flanges that may slip or lie open."""
    plan = FlangePlan(
        drawn_out_mm=haptic["drawn_out_mm"],
        melt_mm=haptic["melt_mm"],
        bury_mm=haptic["bury_mm"],
        removed_mm=haptic["removed_mm"],
        centred_outside_mm=haptic["centred_outside_mm"],
    )
    if plan.melt_mm < SLIP_RISK_MELT_MM:
        notes.warn("flange_may_slip", say(
            "Melting less than {slip_risk_melt_mm} mm makes a small flange that may slip through the "
            "tunnel. Melt about 1.0 mm.",
            slip_risk_melt_mm=SLIP_RISK_MELT_MM,
        ), field=f"{path}.melt_mm")
    if plan.bury_mm < NOT_BURIED_MM:
        notes.warn("flange_not_buried", say(
            "A flange less than {not_buried_mm} mm deep is not buried and may erode. Bury it in the "
            "scleral wall.",
            not_buried_mm=NOT_BURIED_MM,
        ), field=f"{path}.bury_mm")
    return plan


def outcome_value(outcome: Outcome, *, target_d: float) -> dict[str, float]:
    """A predicted refraction with its 80 % interval and chances."""
    chances = {key: outcome.chance_within(limit, target_d=target_d) for key, limit in CHANCES}
    return {
        "mean_d": outcome.mean_d,
        "sd_d": outcome.sd_d,
        "low80_d": outcome.low80_d,
        "high80_d": outcome.high80_d,
        **chances,
    }


def reach_value(options: tuple[Option, Option]) -> list[dict[str, float]]:
    """Prediction at both ends: nothing cut first, drawn out second."""
    return [
        {"outside_mm": part.outside_mm, "mean_d": part.final.mean_d, "sd_d": part.final.sd_d}
        for part in options
    ]


def option_value(option: Option, *, target_d: float) -> dict[str, Any]:
    """One option with its cuts and outcome."""
    return {
        "outside_mm": option.outside_mm,
        "cut_mm": list(option.cut_mm),
        **outcome_value(option.final, target_d=target_d),
    }


def advice_value(titration: Titration, *, target_d: float) -> dict[str, Any]:
    """The answer of ``advise``; full precision, chances as fractions."""
    advice = titration.advice
    nothing, chosen = advice.nothing.final, advice.option.final
    return {
        "outside_mm": advice.option.outside_mm,
        "cut_mm": list(advice.option.cut_mm),
        "no_useful_adjustment": advice.no_useful_adjustment,
        "reason": advice.reason,
        "final": outcome_value(chosen, target_d=target_d),
        "nothing_cut": option_value(advice.nothing, target_d=target_d),
        "reach": reach_value(advice.reach),
        "neighbours": [option_value(part, target_d=target_d) for part in advice.neighbours],
        "expected_error_d": chosen.expected_error_d(target_d=target_d),
        "expected_error_nothing_d": nothing.expected_error_d(target_d=target_d),
        "travel_ratio": _travel(titration),
        "gross": list(titration.after.gross),
        "next_reading": next_value(titration.next),
    }


def _travel(titration: Titration) -> dict[str, float]:
    belief = titration.view.belief
    return {"mean": belief.mean[TRAVEL], "sd": belief.sd(TRAVEL)}


def next_value(following: NextReading) -> dict[str, Any]:
    """Which reading would help most."""
    return {
        "action": following.action,
        "place": following.place,
        "outside_mm": following.outside_mm,
        "gain": following.gain,
    }
