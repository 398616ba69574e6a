"""Size and marks of the sources, and that the checks for them can fail."""

from __future__ import annotations

import statistics

import pytest

from webapp.build import check_sources, tracked


def test_modules_are_short() -> None:
    assert check_sources.long_modules() == []


def test_functions_are_short() -> None:
    assert check_sources.long_functions() == []


def test_no_forbidden_marks() -> None:
    assert check_sources.forbidden_marks() == []


def test_the_length_of_a_function_leaves_out_its_docstring() -> None:
    text = 'def f():\n    """One\n\n    two.\n    """\n    return 1\n'
    assert list(check_sources.function_lengths(text)) == [2]


@pytest.mark.parametrize("word", check_sources.MARKS + check_sources.HOSTS)
def test_a_mark_is_seen(word: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check_sources, "texts", lambda: iter([("a.py", f"x = 1  # {word} y\n")]))
    assert len(check_sources.forbidden_marks()) == 1


def test_long_functions_are_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    long = "def f():\n" + "    x = 1\n" * 30
    monkeypatch.setattr(check_sources, "sources", lambda *kinds: iter([("pycore/a.py", long)]))
    assert check_sources.long_functions()
    assert statistics.median(check_sources.function_lengths(long)) == 31


def test_the_repository_is_listed() -> None:
    names = {path.name for path in tracked.files()}
    assert {"build.py", "pyproject.toml", "sw.js", "boundary.py"} <= names


def test_only_the_agreed_names_are_at_the_top() -> None:
    tops = {path.relative_to(tracked.ROOT).parts[0] for path in tracked.files()}
    assert {name for name in tops if not name.startswith(".")} <= {
        "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "pyproject.toml", "build.py",
        "webapp", "pycore", "tests",
    }
