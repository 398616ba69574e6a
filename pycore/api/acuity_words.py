"""Acuities in words: every form at once, the same on all screens and in notes."""

from __future__ import annotations

from typing import Final

from pycore.api.wording import ABSENT, MINUS
from pycore.fields import FIELDS
from pycore.optics.acuity import names
from pycore.words import joined, say

#: Glossary fields of the two acuities of a visit, by the start of their keys.
KINDS: Final = ("udva", "cdva")


def logmar_text(logmar: float) -> str:
    """LogMAR with two decimals and a true minus; zero and worse without a plus.

    >>> logmar_text(-0.1)
    'logMAR −0.10'
    """
    shown = f"{abs(logmar):.2f}"
    return say("logMAR {value}{shown}", value=MINUS if logmar < 0 and float(shown) else "", shown=shown)


def forms(logmar: float) -> dict[str, str]:
    """All four ways of writing one acuity."""
    decimal, metre, feet = names(logmar)
    return {"decimal": decimal, "metre": metre, "feet": feet, "logmar": logmar_text(logmar)}


#: The order in which the forms stand after the one that was asked for first.
_ORDER: Final = ("metre", "feet", "decimal", "logmar")


def acuity_text(logmar: float | None, low: str | None, *, first: str = "metre") -> str:
    """One acuity in a line, the notation ``first`` before the others.

    >>> acuity_text(0.3, None), acuity_text(None, "hm")
    ('6/12 · 20/40 · 0.5 · logMAR 0.30', 'hand movements')
    """
    if low is not None:
        return FIELDS["low_vision"].choices[low].lower()
    if logmar is None:
        return ABSENT
    found = forms(logmar)
    return joined(" · ", (found[name] for name in (first, *(name for name in _ORDER if name != first))))
