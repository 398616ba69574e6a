"""Codes for eyes and persons: seven random characters and one check character.

A code is an opaque label, drawn with :mod:`secrets` and derived from nothing, so it says
nothing about the patient. It is shown as ``XXXX-XXXX``.

The alphabet has 23 characters. Of each group that is confused in handwriting or on a
wristband only one member is left: ``0 O Q D`` keeps D, ``8 B`` keeps 8, ``6 G`` keeps 6,
``U V`` keeps U; ``1 I L``, ``2 Z`` and ``5 S`` are gone altogether. 23 is prime, and that is
what makes the check work: with the weights 8, 7, ... 1 the weighted sum of the characters'
positions in the alphabet is a multiple of 23. A single substitution changes the sum by
``weight * (x - y)``, a transposition by ``(weight - other weight) * (x - y)``; neither is
ever a multiple of 23, so **every** single substitution and **every** transposition of two
different characters, adjacent or not, is detected. (The same principle as the ten-digit
book number of ISO 2108:1992, there modulo 11.)

Tests: ``tests/records/test_codes.py``, exhaustive for substitutions and transpositions.
"""

from __future__ import annotations

import secrets
from collections.abc import Container
from typing import Final

from pycore.errors import RecordError
from pycore.words import say

ALPHABET: Final = "346789ACDEFHJKMNPRTUWXY"
#: Characters before the check character.
FREE_CHARACTERS: Final = 7
#: The one character that each of these is mistaken for, where there is only one.
LOOKS_LIKE: Final = {"B": "8", "G": "6", "V": "U", "0": "D", "O": "D", "Q": "D"}
#: Everything people type between the two halves: hyphen, dashes, minus, blanks.
_SEPARATORS: Final = dict.fromkeys(map(ord, "-\u2010\u2011\u2012\u2013\u2014\u2212_. \u00a0\u2009\t"))
_POSITION: Final = {character: index for index, character in enumerate(ALPHABET)}
#: Far more draws than a phone's worth of codes can ever make necessary.
_MOST_DRAWS: Final = 1000


def check_character(free: str) -> str:
    """The character that completes ``free``, seven characters of the alphabet."""
    weighted = sum(weight * _POSITION[character] for weight, character in _weighted(free))
    return ALPHABET[-weighted % len(ALPHABET)]


def complete(free: str) -> str:
    """The code ``XXXX-XXXX`` made of ``free`` and its check character."""
    return _shown(free + check_character(free))


def new_code(taken: Container[str] = ()) -> str:
    """A fresh random code that is not in ``taken`` (codes in their shown form)."""
    for _ in range(_MOST_DRAWS):
        code = complete("".join(secrets.choice(ALPHABET) for _ in range(FREE_CHARACTERS)))
        if code not in taken:
            return code
    raise RecordError("No unused code could be drawn. Export and back up the eyes, then try again.")


def is_code(text: object) -> bool:
    """Whether ``text`` is a code in its shown form, check character included."""
    if not isinstance(text, str) or len(text) != FREE_CHARACTERS + 2 or text[4] != "-":
        return False
    plain = text[:4] + text[5:]
    return all(character in _POSITION for character in plain) and _sums_up(plain)


def normalise(typed: str) -> str:
    """The code in its shown form from what was typed.

    Case, blanks and dashes do not matter. Look-alikes are never replaced silently.

    Raises :class:`RecordError` that names the character, the length or the check.
    """
    plain = typed.upper().translate(_SEPARATORS)
    for character in plain:
        if character not in _POSITION:
            raise RecordError(_foreign(character), field="code")
    if len(plain) != FREE_CHARACTERS + 1:
        raise RecordError(say(
            "A code has 8 characters; {plain} were typed. Read it again.",
            plain=len(plain),
        ), field="code")
    if not _sums_up(plain):
        raise RecordError(say(
            "{plain} is not a code: one character is wrong or two are swapped. Read it again.",
            plain=_shown(plain),
        ), field="code")
    return _shown(plain)


def _foreign(character: str) -> str:
    likely = LOOKS_LIKE.get(character)
    hint = say("Is it {likely}?", likely=likely) if likely else "Read it again."
    return say("Codes never contain {character}. {hint}", character=f"{character!r}", hint=hint)


def _sums_up(plain: str) -> bool:
    return check_character(plain[:-1]) == plain[-1]


def _weighted(free: str) -> list[tuple[int, str]]:
    return [(FREE_CHARACTERS + 1 - index, character) for index, character in enumerate(free)]


def _shown(plain: str) -> str:
    return f"{plain[:4]}-{plain[4:]}"
