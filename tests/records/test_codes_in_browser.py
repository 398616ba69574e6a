"""The browser's codes follow the same rule as the core's: compared on the same texts."""

from __future__ import annotations

import json
import random
import subprocess
from pathlib import Path

import pytest

from pycore.errors import RecordError
from pycore.records.codes import ALPHABET, complete, is_code, normalise
from webapp.build import npm

CODES_JS = Path(__file__).resolve().parents[2] / "webapp" / "store" / "codes.js"
SCRIPT = """
const { checkCharacter, newCode, readCode } = await import(process.argv[1]);
const { free, typed } = JSON.parse(process.argv[2]);
console.log(JSON.stringify({
  checks: free.map(checkCharacter), read: typed.map(readCode),
  made: Array.from({ length: 300 }, () => newCode()),
}));
"""
SOURCE = random.Random(11)
FREE = ["".join(SOURCE.choices(ALPHABET, k=7)) for _ in range(300)]


def typed() -> list[str]:
    """Codes as people type them: right, with one character changed, with look-alikes, too short."""
    codes = [complete(free) for free in FREE[:40]]
    wrong = [code[:6] + SOURCE.choice(ALPHABET) + code[7:] for code in codes]
    odd = [code.lower().replace("-", " ") for code in codes] + [f"{code[:4]}\u2013{code[5:]}" for code in codes]
    return [*codes, *wrong, *odd, *(letter + codes[0][1:] for letter in "01258BGILOQSVZ!"), "", "3", codes[0] + "3"]


@pytest.fixture(scope="module")
def browser() -> dict[str, list[object]]:
    request = json.dumps({"free": FREE, "typed": typed_texts})
    done = subprocess.run([npm.node(), "--input-type=module", "-e", SCRIPT, CODES_JS.as_uri(), request],
                          capture_output=True, text=True, check=True, timeout=60)
    answer: dict[str, list[object]] = json.loads(done.stdout)
    return answer


typed_texts = typed()


def outcome(text: str) -> str | None:
    try:
        return normalise(text)
    except RecordError:
        return None


def test_check_characters_agree(browser: dict[str, list[object]]) -> None:
    assert browser["checks"] == [complete(free)[-1] for free in FREE]


def test_what_is_typed_is_read_alike(browser: dict[str, list[object]]) -> None:
    for text, read in zip(typed_texts, browser["read"], strict=True):
        assert isinstance(read, dict)
        assert read.get("code") == outcome(text), text
        assert ("message" in read) is (outcome(text) is None)


def test_codes_made_in_the_browser_are_valid_here(browser: dict[str, list[object]]) -> None:
    assert all(is_code(code) for code in browser["made"])
    assert len(set(map(str, browser["made"]))) == len(browser["made"])
