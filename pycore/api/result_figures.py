"""The figures of the results, as the answer writes them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict
from functools import lru_cache
from typing import Any, Final

from pycore.api.result_rows import Row
from pycore.api.result_series import Comparison, Series, both, series
from pycore.audit.clusters import Estimate, paired_difference, sd_ratio
from pycore.audit.constants import ENOUGH_EYES, Zeroed
from pycore.audit.series import SeriesSummary, summarise_series
from pycore.audit.statistics import ROUNDING_D, median
from pycore.formulas import FORMULAS

#: The share that stands first, and its limit.
MAIN_SHARE: Final = "within_050"
MAIN_LIMIT_D: Final = 0.50

#: The three moments at which an eye's refraction was expected, in the order they came.
MOMENTS: Final = {
    "planned": ("By the plan", "Achieved minus the plan's prediction for the lens and haptic length left."),
    "decided": ("End of surgery", "Achieved minus what was expected after the last reading and decision."),
    "target": ("At follow-up", "Achieved minus the target."),
}


def summary_value(found: Series) -> dict[str, Any] | None:
    """All figures of one series; ``None`` when no eye has both values."""
    summary = _summary(found)
    return None if summary is None else _flat(summary)


@lru_cache(maxsize=8)
def _summary(found: Series) -> SeriesSummary | None:
    """The same series stands in several places of the answer."""
    return summarise_series(found.errors_d, found.persons)


def _flat(summary: SeriesSummary) -> dict[str, Any]:
    value = asdict(summary)
    mean, shares = value.pop("mean_d"), value.pop("within")
    return {**value, "mean_d": mean["value"], "mean_low95_d": mean["low95"],
            "mean_high95_d": mean["high95"], **shares}


def moments_value(rows: Sequence[Row]) -> list[dict[str, Any]]:
    """The three moments, each with its figures or none."""
    return [
        {"name": name, "label": label, "about": about, "figures": summary_value(series(rows, name))}
        for name, (label, about) in MOMENTS.items()
    ]


def titration_value(rows: Sequence[Row]) -> dict[str, Any]:
    """What titration added, on the same eyes: to the outcome, and to the prediction."""
    return {"outcome": _outcome(both(rows, "target", "untitrated")),
            "prediction": _prediction(both(rows, "decided", "planned"))}


def _outcome(rows: Sequence[Row]) -> dict[str, Any] | None:
    """Distance from target as it is, and as it would have been at the reference length."""
    if not rows:
        return None
    ended, without = series(rows, "target"), series(rows, "untitrated")
    sizes, sizes_without = ([abs(one) for one in each.errors_d] for each in (ended, without))
    inside, inside_without = ([_inside(one) for one in each] for each in (sizes, sizes_without))
    return {
        "n": len(rows),
        "achieved": summary_value(ended),
        "without": summary_value(without),
        "gained_share": _estimate(paired_difference(inside, inside_without, ended.persons)),
        "gained_d": _estimate(paired_difference(sizes_without, sizes, ended.persons)),
        "brought_in": sum(a > b for a, b in zip(inside, inside_without, strict=True)),
        "taken_out": sum(a < b for a, b in zip(inside, inside_without, strict=True)),
    }


def _inside(size: float) -> float:
    return 1.0 if size <= MAIN_LIMIT_D + ROUNDING_D else 0.0


def _prediction(rows: Sequence[Row]) -> dict[str, Any] | None:
    """How much narrower the prediction became from the plan to the end of surgery."""
    if not rows:
        return None
    planned, decided = series(rows, "planned"), series(rows, "decided")
    ratio = sd_ratio(decided.errors_d, planned.errors_d, planned.persons)
    return {"n": len(rows), "planned": summary_value(planned), "decided": summary_value(decided),
            "sd_ratio": None if ratio is None else _estimate(ratio)}


def formulas_value(found: Comparison) -> dict[str, Any]:
    """Formulas side by side on the same eyes, each with its mean zeroed."""
    base = None if found.base is None else found.zeroed[found.base].errors_d
    return {
        "n": len(found.persons),
        "base": found.base,
        "rows": [_formula(name, zeroed, found, base) for name, zeroed in found.zeroed.items()],
    }


def _formula(
    name: str, zeroed: Zeroed, found: Comparison, base: Sequence[float] | None
) -> dict[str, Any]:
    value = {
        "name": name,
        "label": FORMULAS[name].label,
        "before_d": zeroed.before_d,
        "figures": summary_value(Series(zeroed.errors_d, found.persons)),
        "distance_against_base_d": None,
        "sd_against_base": None,
    }
    if base is None or name == found.base:
        return value
    sizes, base_sizes = ([abs(one) for one in each] for each in (zeroed.errors_d, base))
    ratio = sd_ratio(zeroed.errors_d, base, found.persons)
    return {**value,
            "distance_against_base_d": _estimate(paired_difference(sizes, base_sizes, found.persons)),
            "sd_against_base": None if ratio is None else _estimate(ratio)}


def constants_value(found: Comparison) -> dict[str, Any]:
    """The constants that zero each formula's mean error, and what to believe of them."""
    return {"n": len(found.persons), "enough": ENOUGH_EYES,
            "rows": [_constant(name, zeroed, found.labels[name]) for name, zeroed in found.zeroed.items()]}


def _constant(name: str, zeroed: Zeroed, labels: Sequence[float]) -> dict[str, Any]:
    formula = FORMULAS[name]
    return {
        "name": name,
        "label": formula.label,
        "constant": formula.constant,
        "weight": zeroed.weight,
        "shift": _estimate(zeroed.shift),
        "shrunk_shift": zeroed.shrunk,
        "lenses": [_lens(value, eyes, zeroed) for value, eyes in sorted(Counter(labels).items())],
    }


def _lens(value: float, eyes: int, zeroed: Zeroed) -> dict[str, Any]:
    """One label constant: what would zero the mean, its interval, and the cautious value."""
    shift = zeroed.shift
    return {
        "label_constant": value,
        "eyes": eyes,
        "zeroing": value + shift.value,
        "low95": None if shift.low95 is None else value + shift.low95,
        "high95": None if shift.high95 is None else value + shift.high95,
        "shrunk": value + zeroed.shrunk,
    }


def _estimate(found: Estimate) -> dict[str, float | None]:
    return {"value": found.value, "low95": found.low95, "high95": found.high95}


def days_value(rows: Sequence[Row], key: str = "days") -> dict[str, float] | None:
    """Median and range of the days after surgery."""
    days = [row[key] for row in rows if row[key] is not None]
    return {"median": median(days), "low": min(days), "high": max(days)} if days else None
