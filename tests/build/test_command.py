"""build.py as it is called: plain sentences, right exit codes."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from webapp.build import bytecode, cli, process
from webapp.build.assemble import core_sources, with_build_id
from webapp.build.errors import BuildError
from webapp.build.paths import ROOT


def _build_py(*words: str, **env: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "build.py", *words], cwd=ROOT, text=True, timeout=120,
                          stdin=subprocess.DEVNULL, capture_output=True, env={**os.environ, **env})


def test_help_names_every_command() -> None:
    done = _build_py("--help")
    assert done.returncode == 0
    assert all(command in done.stdout for command in cli.COMMANDS)


STARTS = """
import sys
sys.path.insert(0, ".")
import webapp.build.cli, webapp.build.assemble, webapp.build.checks, webapp.build.serve, webapp.build.suite
"""


def test_it_starts_without_site_packages() -> None:
    done = subprocess.run([sys.executable, "-S", "-c", STARTS], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_an_unknown_command_is_refused() -> None:
    assert _build_py("deploy").returncode == 2


def test_a_missing_program_is_one_sentence() -> None:
    with pytest.raises(BuildError, match=r"'no-such-program' was not found\.$"):
        process.run(["no-such-program"], doing="Trying")


def test_a_failing_program_is_one_sentence() -> None:
    words = [sys.executable, "-c", "print('first'); print('last line'); raise SystemExit(3)"]
    with pytest.raises(BuildError, match=r"^Trying failed with exit code 3 \(last line\)\.$"):
        process.run(words, doing="Trying", quiet=True)


@pytest.mark.parametrize("words", [["test", "--", "-k", "fetch"], ["test", "-k", "fetch"]])
def test_arguments_for_pytest_are_passed_on(words: list[str]) -> None:
    assert cli.parsed(words).arguments == ["-k", "fetch"]


def test_an_unknown_option_is_refused() -> None:
    with pytest.raises(SystemExit):
        cli.parsed(["serve", "--fast"])


def test_a_damaged_lock_ends_with_one_sentence(tmp_path: Path) -> None:
    """A copy of the sources whose lock names another hash: npm refuses, build.py says so."""
    copy = tmp_path / "clone"
    _copy_sources(copy)
    lock = copy / "webapp" / "package-lock.json"
    lock.write_text(lock.read_text().replace("sha512-j", "sha512-k", 1))
    done = subprocess.run([sys.executable, "build.py", "build"], cwd=copy, text=True, timeout=120,
                          stdin=subprocess.DEVNULL, capture_output=True,
                          env={**os.environ, "npm_config_cache": str(tmp_path / "npm")})
    assert done.returncode == 1
    assert "Traceback" not in done.stderr + done.stdout
    assert len(done.stderr.splitlines()) == 1
    assert "Installing the JavaScript packages failed" in done.stderr


def _copy_sources(target: Path) -> None:
    left_out = shutil.ignore_patterns("node_modules", "__pycache__")
    for name in ("build.py", "pyproject.toml", "pycore", "webapp"):
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, target / name, ignore=left_out)
        else:
            target.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(source, target / name)


@pytest.mark.slow
def test_bytecode_of_the_core_is_reproducible(tmp_path: Path) -> None:
    tree = with_build_id(core_sources(), "0" * 16)
    outputs = []
    for turn in ("first", "second"):
        with bytecode.kept_in(tmp_path / turn):
            outputs.append(bytecode.core(tree).read_bytes())
    assert outputs[0] == outputs[1]


def test_archives_are_keyed_by_their_content(tmp_path: Path) -> None:
    one, other = (bytecode._key("core", content, {}) for content in ("a", "b"))
    assert one != other
    assert one != bytecode._key("core", "a", {"drop": ["x"]})
