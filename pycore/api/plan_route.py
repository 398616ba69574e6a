"""The second route on the plan screen: both powers, their disagreement, and what would explain it."""

from __future__ import annotations

from typing import Any

from pycore.api import op_second_route
from pycore.api.case_aphakic import aphakic_problem, usable_aphakic
from pycore.api.case_numbers import case_path, case_paths, titration_request
from pycore.api.schema import Notes, record
from pycore.words import say

_KEYS = {item.key for item in op_second_route.ITEMS}
_READER = record(*op_second_route.ITEMS)


def route_value_of(case: dict[str, Any]) -> dict[str, Any] | None:
    """``None`` without an aphakic reading; ``why_not`` names what keeps an entered one from use."""
    problem = aphakic_problem(case["aphakic"])
    if problem is not None:
        return {"used": False, "why_not": problem.message, "field": case_path(problem.field)}
    if usable_aphakic(case["aphakic"]) is None:
        return None
    request = {key: value for key, value in titration_request(case, []).items() if key in _KEYS}
    with case_paths():
        answer = op_second_route.run(_READER(request, "", Notes()), Notes())
    value: dict[str, Any] = answer.value
    return {"used": True, "why_not": None, "field": None, "headline": _headline(value), **value}


def _headline(value: dict[str, Any]) -> str:
    """Whether the two routes agree, in words."""
    sds = abs(value["disagreement"]["sds"])
    if value["disagreement"]["recheck"]:
        return say(
            "The two routes contradict each other: {sds} SD apart. Recheck before choosing a lens.",
            sds=f"{sds:.1f}",
        )
    return say("The two routes agree: {sds} SD apart.", sds=f"{sds:.1f}")
