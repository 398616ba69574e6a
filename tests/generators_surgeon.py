"""Requests for ``learn``: a surgeon's stored eyes, finished and not, usable and not."""

from __future__ import annotations

import copy
import random
from typing import Any, Final

from pycore.records.codes import complete
from tests.generators import Payload, generator, sometimes, step
from tests.records.sample import sample

_LETTERS: Final = "ACEFHKMNPRTWXY"


def code(number: int) -> str:
    """The code of the invented eye ``number``."""
    return complete(f"HEMMA{_LETTERS[number // len(_LETTERS)]}{_LETTERS[number % len(_LETTERS)]}")


_METHODS: Final = ("subjective", "autorefractor", "retinoscopy", None)


@generator("learn")
def learn(source: random.Random) -> Payload:
    cases = [stored_eye(source, number) for number in range(source.choice([0, 1, 2, 3, 5]))]
    if cases and source.random() < 0.1:
        cases.append(copy.deepcopy(cases[0]))
    return {
        "cases": cases,
        **sometimes(source, 0.5, formula=source.choice(["holladay1", "srkt", "hoffer_q"])),
        **sometimes(source, 0.2, as_of=source.choice(["2026-06-30", "2027-06-30"])),
        **sometimes(source, 0.2, after="2026-05-05"),
        **sometimes(source, 0.2, ignore=[source.choice([code(0), code(9)])]),
    }


def stored_eye(source: random.Random, number: int, **follow_up: Any) -> Payload:
    """A stored eye a month or more after surgery; ``follow_up`` changes its last visit."""
    case = sample()
    length = step(source, 21.5, 26.0, 0.01)
    case["code"] = code(number)
    case["history"]["cornea"] = "ordinary"
    case["measurements"]["axial_length_mm"] = length
    case["lens"]["lens_power_d"] = round(2 * (21.0 - 3.0 * (length - 23.5))) / 2
    case["surgery_on"] = f"2026-05-{1 + number % 12:02d}"
    for entry in case["readings"]:
        entry["refraction_d"] = step(source, -2.0, 1.0, 0.125)
        entry["instrument"] = source.choice(["aberrometer", "autorefractor", "retinoscope"])
    usual = {"sphere_d": step(source, -2.0, 2.0, 0.25), "on": source.choice(["2026-06-15", "2026-09-01"]),
             "refraction_method": source.choice(_METHODS),
             **sometimes(source, 0.2, cdva_logmar=step(source, 0.0, 0.8, 0.1))}
    case["follow_ups"][-1] |= usual | follow_up
    return case
