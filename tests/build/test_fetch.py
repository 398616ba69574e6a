"""Downloads: the hash decides, the cache saves, every failure is one sentence."""

from __future__ import annotations

import errno
import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest

from webapp.build.errors import BuildError, run_plainly, sentence_for
from webapp.build.fetch import Source, SourceUnavailable, fetch

CONTENT = b"the right bytes"
SHA256 = hashlib.sha256(CONTENT).hexdigest()


def _writes(data: bytes, calls: list[str] | None = None, name: str = "s") -> Source:
    def bring(target: Path) -> None:
        if calls is not None:
            calls.append(name)
        target.write_bytes(data)
    return Source(name, bring)


def _raises(error: Exception, name: str = "broken") -> Source:
    def bring(target: Path) -> None:
        raise error
    return Source(name, bring)


@pytest.fixture
def caches(tmp_path: Path) -> list[Path]:
    return [tmp_path / "near", tmp_path / "far"]


def test_the_first_source_that_delivers_wins(caches: list[Path]) -> None:
    calls: list[str] = []
    sources = [_raises(SourceUnavailable("no route")), _writes(CONTENT, calls, "second"),
               _writes(CONTENT, calls, "third")]
    assert fetch("f.whl", SHA256, sources, caches).read_bytes() == CONTENT
    assert calls == ["second"]


def test_a_second_request_downloads_nothing(caches: list[Path]) -> None:
    fetch("f.whl", SHA256, [_writes(CONTENT)], caches)
    assert fetch("f.whl", SHA256, [], caches).read_bytes() == CONTENT


def test_another_clone_finds_it_in_the_shared_cache(caches: list[Path]) -> None:
    fetch("f.whl", SHA256, [_writes(CONTENT)], caches)
    assert fetch("f.whl", SHA256, [], [caches[0] / "other", caches[1]]).read_bytes() == CONTENT


def test_other_bytes_stop_the_build_and_are_not_kept(caches: list[Path]) -> None:
    sources = [_writes(b"other bytes"), _writes(CONTENT)]
    with pytest.raises(BuildError, match=r"has sha256 .* and not the pinned"):
        fetch("f.whl", SHA256, sources, caches)
    assert not any(path.is_file() for path in caches[0].rglob("*"))


def test_a_damaged_cache_entry_is_fetched_again(caches: list[Path]) -> None:
    caches[0].mkdir()
    (caches[0] / "f.whl").write_bytes(b"damaged")
    assert fetch("f.whl", SHA256, [_writes(CONTENT)], caches).read_bytes() == CONTENT


def test_no_source_is_one_sentence_with_every_reason(caches: list[Path]) -> None:
    sources = [_raises(SourceUnavailable("no route"), "one"), _raises(SourceUnavailable("gone"), "two")]
    with pytest.raises(BuildError, match=r"No source could deliver f\.whl \(one: no route; two: gone\)\."):
        fetch("f.whl", SHA256, sources, caches)


def test_a_shared_cache_that_cannot_be_written_is_no_failure(caches: list[Path]) -> None:
    caches[1].write_text("a file where the folder should be")
    assert fetch("f.whl", SHA256, [_writes(CONTENT)], caches).read_bytes() == CONTENT


def _fails_with(error: Exception) -> Callable[[], int]:
    def command() -> int:
        raise error
    return command


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (OSError(errno.ENOSPC, "No space left on device", "/x/y"), "The disk is full (/x/y)"),
        (OSError(errno.EACCES, "Permission denied", "/x"), "No permission to write (/x)"),
        (OSError(errno.EIO, "Input/output error"), "Input/output error"),
        (BuildError("The pin is wrong."), "The pin is wrong."),
    ],
)
def test_every_expected_failure_is_one_sentence(
    error: Exception, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_plainly(_fails_with(error)) == 1
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1
    assert said in lines[0]
    assert lines[0].endswith(".")


def test_an_unexpected_failure_is_not_hidden() -> None:
    with pytest.raises(ZeroDivisionError):
        run_plainly(_fails_with(ZeroDivisionError()))


def test_a_full_disk_says_what_to_do() -> None:
    assert "free about 500 MB" in sentence_for(OSError(errno.ENOSPC, "No space"))
