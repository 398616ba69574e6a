"""The command line: what comes in as bytes, what goes out as JSON, and the exit code."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def run(operation: str, request: bytes) -> tuple[int, dict[str, object]]:
    done = subprocess.run([sys.executable, "-m", "pycore", operation], input=request, cwd=ROOT,
                          capture_output=True, timeout=60)
    assert done.stderr == b""
    document = json.loads(done.stdout.decode("utf-8"))
    assert isinstance(document, dict)
    return done.returncode, document


def test_a_value_comes_with_exit_code_nought() -> None:
    code, document = run("refraction", b'{"sphere_d": 1, "cylinder_d": -1, "axis_deg": 90}')
    assert (code, document["se_d"]) == (0, 0.5)


@pytest.mark.parametrize(
    ("request_text", "code"),
    [
        (b"", "request_unreadable"), (b"[1]", "request_unreadable"), (b"{", "request_unreadable"),
        (b'{"sphere_d": "\xff"}', "request_unreadable"), (b'{"sphere_d": NaN}', "not_finite"),
        (b'{"sphere_d": 1e999}', "not_finite"), (b'{"sphere_d": -1e999}', "not_finite"),
        (b"{}", "missing_field"), (b'{"sphere_d": ' + b"9" * 5000 + b"}", "request_unreadable"),
    ],
)
def test_a_bad_request_is_a_named_error_with_exit_code_one(request_text: bytes, code: str) -> None:
    returned, document = run("refraction", request_text)
    error = document["error"]
    assert isinstance(error, dict)
    assert (returned, error["code"]) == (1, code)


def test_half_a_surrogate_pair_in_a_stored_text_comes_back() -> None:
    case = {"schema": 1, "lens": {"lens_name": "\ud800"}}
    code, document = run("check_case", json.dumps({"case": case}).encode())
    stored = document["case"]
    assert isinstance(stored, dict)
    assert (code, stored["lens"]["lens_name"]) == (0, "\ud800")
