"""``second_route``: lens power from biometry and from the aphakic refraction, apart and combined."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from pycore.api.aphakic_item import (
    APHAKIC_REQUIRED,
    candidate_text,
    note_route,
    read_aphakic,
    recheck_candidates,
    route_of,
)
from pycore.api.biometry import BIOMETRY_ITEMS, CONSTANTS_ITEM, read_biometry, read_constants
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, choice, optional, required
from pycore.api.titration_items import BELIEF_ITEM, overridden
from pycore.belief.priors import Prior, default_priors
from pycore.formulas import FORMULAS
from pycore.planning.aphakic import LengthAndCornea, Route, SecondRoute
from pycore.planning.recheck import Candidate, Entered

ITEMS = (
    *BIOMETRY_ITEMS,
    required("axial_method"),
    optional("keratometry_method", choice("keratometry_method"), default="table"),
    optional("cornea", choice("cornea"), default="ordinary"),
    optional("formula", choice("formula"), default="holladay1"),
    CONSTANTS_ITEM,
    required("target_d"),
    APHAKIC_REQUIRED,
    BELIEF_ITEM,
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """Powers, their disagreement, what would explain it, and the belief after both."""
    formula = FORMULAS[request["formula"]]
    biometry, constants = read_biometry(request, notes), read_constants(request, notes)
    thin = formula.predict(biometry, constants)
    for code, message in thin.cautions:
        notes.warn(code, message, field="formula")
    priors = _priors(request)
    reading, taken = read_aphakic(request["aphakic"], notes)
    route = route_of(thin, priors, reading, target_d=request["target_d"])
    entered = Entered(biometry.axial_length_mm, biometry.k_mean_d)
    found = recheck_candidates(thin, priors, reading, taken, entered=entered)
    note_route(route, found, notes)
    value = {"aphakic_refraction_d": reading.refraction_d, **_value(route, found)}
    rests_on = {"formula": formula.name, "constants": formula.constants_used(constants),
                "source": "Holladay JT. Am J Ophthalmol 1993;116:63-66",
                "noise_sd_d": reading.noise_sd_d, "bias": {"mean": reading.bias.mean, "sd": reading.bias.sd}}
    return Answer(value, rests_on)


def _priors(request: dict[str, Any]) -> dict[str, Prior]:
    """The belief of ``advise``; the lens's label error plays no part here."""
    defaults = default_priors(
        axial_method=request["axial_method"],
        lens_power_d=0.0,
        keratometry_method=request["keratometry_method"],
        cornea=request["cornea"],
    )
    return overridden(defaults, request["belief"])


def _value(route: SecondRoute, found: list[Candidate]) -> dict[str, Any]:
    return {
        "biometry": route_value(route.biometry),
        "aphakic": route_value(route.aphakic),
        "combined": route_value(route.combined),
        "expected_refraction_d": route.expected_d,
        "disagreement": {
            "refraction_d": route.surprise_d,
            "power_d": route.aphakic.power_d - route.biometry.power_d,
            "sds": route.surprise_sds,
            "gross": route.gross,
            "recheck": route.recheck,
        },
        "would_explain": [_candidate_value(one) for one in found],
        "belief": belief_value(route.belief),
    }


def route_value(route: Route) -> dict[str, float]:
    """A power with its SD from the measurements, in all, and the 80 % interval in all."""
    return {**asdict(route), "low80_d": route.low80_d, "high80_d": route.high80_d}


def belief_value(belief: LengthAndCornea) -> dict[str, Any]:
    """Length and cornea as ``belief`` overrides are named, and their correlation."""
    return {
        "axial_length_mm": {"mean": belief.length.mean, "sd": belief.length.sd},
        "corneal_power_d": {"mean": belief.cornea.mean, "sd": belief.cornea.sd},
        "correlation": belief.correlation,
    }


def _candidate_value(one: Candidate) -> dict[str, Any]:
    return {
        "input": one.name,
        "entered": one.entered,
        "would_be": one.would_be,
        "change": one.change,
        "in_sds": one.in_sds,
        "message": candidate_text(one),
    }


OPERATION = Operation(
    "second_route",
    "Lens power from biometry and from the aphakic refraction, apart and combined.",
    ITEMS,
    run,
)
