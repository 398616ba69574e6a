"""Codes of eyes and persons: what the check character catches, and what people type."""

from __future__ import annotations

import random
from itertools import combinations

import pytest

from pycore.errors import RecordError
from pycore.records.codes import ALPHABET, LOOKS_LIKE, complete, is_code, new_code, normalise

CONFUSED = ("0OQD", "1IL", "2Z", "5S", "8B", "6G", "UV")


def some_codes(count: int) -> list[str]:
    drawn = random.Random(7)
    return [complete("".join(drawn.choices(ALPHABET, k=7))) for _ in range(count)]


def swapped(code: str, first: int, second: int) -> str:
    characters = list(code)
    characters[first], characters[second] = characters[second], characters[first]
    return "".join(characters)


def test_no_two_characters_of_the_alphabet_are_confused_with_each_other() -> None:
    for group in CONFUSED:
        assert sum(character in ALPHABET for character in group) <= 1, group


def test_the_alphabet_has_a_prime_number_of_different_characters() -> None:
    size = len(ALPHABET)
    assert len(set(ALPHABET)) == size
    assert all(size % divisor for divisor in range(2, size))


def test_every_single_substitution_is_detected() -> None:
    for code in some_codes(60):
        for place in (0, 1, 2, 3, 5, 6, 7, 8):
            for other in ALPHABET:
                if other != code[place]:
                    assert not is_code(code[:place] + other + code[place + 1 :])


def test_a_substitution_is_detected_whatever_the_two_characters_and_the_place() -> None:
    for place in (0, 1, 2, 3, 5, 6, 7):
        for first, second in combinations(ALPHABET, 2):
            free = list("3333333")
            free[place - (place > 4)] = first
            code = complete("".join(free))
            assert is_code(code)
            assert not is_code(code[:place] + second + code[place + 1 :])


def test_every_transposition_of_two_different_characters_is_detected() -> None:
    for code in some_codes(200):
        for first, second in combinations((0, 1, 2, 3, 5, 6, 7, 8), 2):
            if code[first] != code[second]:
                assert not is_code(swapped(code, first, second))


def test_adjacent_transpositions_are_detected_for_every_pair_of_characters() -> None:
    for first, second in combinations(ALPHABET, 2):
        for place in range(6):
            free = ["7"] * 7
            free[place : place + 2] = [first, second]
            plain = complete("".join(free)).replace("-", "")
            wrong = swapped(plain, place, place + 1)
            assert not is_code(f"{wrong[:4]}-{wrong[4:]}")


def test_new_codes_are_valid_and_avoid_those_taken() -> None:
    first = new_code()
    assert is_code(first)
    assert all(new_code({first}) != first for _ in range(50))


def test_a_store_that_claims_every_code_is_named_not_searched_forever() -> None:
    class Everything:
        def __contains__(self, code: object) -> bool:
            return True

    with pytest.raises(RecordError, match="No unused code"):
        new_code(Everything())


def test_case_blanks_and_any_dash_are_forgiven() -> None:
    code = some_codes(1)[0]
    plain = code.replace("-", "")
    for typed in (plain.lower(), f" {plain[:4]} {plain[4:]} ", f"{plain[:4]}\u2013{plain[4:]}", code):
        assert normalise(typed) == code


@pytest.mark.parametrize(("typed", "likely"), sorted(LOOKS_LIKE.items()))
def test_a_look_alike_is_named_and_never_replaced(typed: str, likely: str) -> None:
    code = some_codes(1)[0]
    with pytest.raises(RecordError) as caught:
        normalise(typed + code[1:])
    assert f"Is it {likely}?" in caught.value.message
    assert caught.value.field == "code"


@pytest.mark.parametrize("typed", ["", "3", "3467-89A", "3467-89ACD", "3467-89A!"])
def test_wrong_lengths_and_foreign_characters_are_refused(typed: str) -> None:
    with pytest.raises(RecordError):
        normalise(typed)


@pytest.mark.parametrize("value", [None, 3, "", "34678 9AC", "3467-89a3", ["3467-89A3"]])
def test_anything_else_is_not_a_code(value: object) -> None:
    assert not is_code(value)
