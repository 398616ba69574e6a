"""``demo_cases``: three invented eyes to try everything on, one in each stage."""

from __future__ import annotations

from typing import Any

from pycore.api.demo_eyes import PLACE, demo_eyes
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes
from pycore.words import say


def run(request: dict[str, Any], notes: Notes) -> Answer:
    about = say("Invented eyes of an outreach week in {place}. Nobody's data.", place=PLACE)
    return Answer({"cases": demo_eyes(), "about": about})


OPERATION = Operation("demo_cases", "Three invented eyes, one in each stage.", (), run)
