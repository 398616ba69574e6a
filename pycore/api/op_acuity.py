"""``acuity``: what a typed acuity means, in every form, or what must be asked first."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.acuity_words import acuity_text, forms
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, choice, optional, required, text
from pycore.api.shown_as import SHOWN_AS
from pycore.errors import GuylineError
from pycore.fields import FIELDS
from pycore.optics.acuity import Acuity, Unclear, parse

_SOURCE: Final = "Holladay JT. J Refract Surg 1997;13:388-391"

ITEMS = (
    required("text", text, about="As it was written: 6/9, 20/30, 0.63, logMAR 0.2, CF, HM, LP or NLP."),
    optional("notation", choice("acuity_notation"), about="What a plain number is; never guessed."),
    SHOWN_AS,
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """``state`` is ``read``, or ``ask`` with the meanings that the number could have."""
    try:
        found = parse(request["text"], request["notation"])
    except GuylineError as error:
        error.field = "text"
        raise
    first = request["shown_as"]["acuity_first"]
    value = _ask(found, first) if isinstance(found, Unclear) else {**_read(found, first), **_CLEAR}
    return Answer(value, {"source": _SOURCE})


_CLEAR: Final[dict[str, Any]] = {"question": None, "meanings": []}


def _read(found: Acuity, first: str) -> dict[str, Any]:
    return {
        "state": "read",
        "logmar": found.logmar,
        "low": found.low,
        "notation": found.notation,
        "forms": None if found.logmar is None else forms(found.logmar),
        "shown": acuity_text(found.logmar, found.low, first=first),
    }


def _ask(found: Unclear, first: str) -> dict[str, Any]:
    empty = {"state": "ask", "logmar": None, "low": None, "notation": None, "forms": None, "shown": None}
    meanings = [
        {"notation": one.notation, "label": FIELDS["acuity_notation"].choices[one.notation],
         "shown": acuity_text(one.logmar, one.low, first=first)}
        for one in found.readings
    ]
    return {**empty, "question": "Which notation is this number in?", "meanings": meanings}


OPERATION = Operation("acuity", "A typed acuity in every form, or the question it leaves open.", ITEMS, run)
