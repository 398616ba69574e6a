"""The local server: right types, the policy as a header, nothing listed."""

from __future__ import annotations

import gzip
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from webapp.build import compress, serve
from webapp.build.errors import BuildError
from webapp.build.serve import Running


@pytest.fixture
def running(tmp_path: Path) -> Iterator[Running]:
    for name in ("index.html", "a.mjs", "b.wasm", "c.webmanifest", "d.whl", "e.js"):
        (tmp_path / name).write_text("x")
    (tmp_path / "folder").mkdir()
    started = Running(tmp_path)
    yield started
    started.stop()


@pytest.mark.parametrize(("name", "media_type"), [
    ("", "text/html; charset=utf-8"), ("a.mjs", "text/javascript; charset=utf-8"),
    ("b.wasm", "application/wasm"), ("c.webmanifest", "application/manifest+json"),
    ("d.whl", "application/octet-stream"), ("e.js", "text/javascript; charset=utf-8"),
])
def test_types_and_policy(running: Running, name: str, media_type: str) -> None:
    with urllib.request.urlopen(running.address + name) as answer:
        assert answer.headers["Content-Type"] == media_type
        assert "connect-src 'self'" in answer.headers["Content-Security-Policy"]
        assert answer.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(("asked", "sent"), [
    ("br, gzip", "br"), ("gzip", "gzip"), ("gzip;q=1.0, br;q=0", "gzip"), ("identity", None), (None, None),
])
def test_a_packed_file_goes_to_whoever_takes_it(tmp_path: Path, asked: str | None, sent: str | None) -> None:
    text = b"<!doctype html>" + b"words " * 500
    (tmp_path / "index.html").write_bytes(text)
    (tmp_path / "tiny.js").write_bytes(b"x")
    assert compress.beside(tmp_path) == 2, "what saves nothing is not kept"
    running = Running(tmp_path)
    request = urllib.request.Request(running.address, headers={"Accept-Encoding": asked} if asked else {})
    with urllib.request.urlopen(request) as answer:
        assert answer.headers["Content-Encoding"] == sent
        assert answer.headers["Content-Type"] == "text/html; charset=utf-8"
        assert "connect-src 'self'" in answer.headers["Content-Security-Policy"]
        body = answer.read()
    running.stop()
    if sent is None:
        assert body == text
    else:
        assert len(body) < len(text) / 10
    if sent == "gzip":
        assert gzip.decompress(body) == text


@pytest.mark.parametrize("name", ["folder/", "none.js", "../pyproject.toml"])
def test_what_is_not_served(running: Running, name: str) -> None:
    with pytest.raises(urllib.error.HTTPError, match="404") as caught:
        urllib.request.urlopen(running.address + name)
    caught.value.close()


def test_stopped_and_started_on_the_same_port(running: Running) -> None:
    port = running.port
    running.stop()
    with pytest.raises(urllib.error.URLError, match="refused"):
        urllib.request.urlopen(running.address)
    running.start()
    assert running.port == port
    urllib.request.urlopen(running.address).close()


def test_a_busy_port_is_one_sentence(running: Running) -> None:
    with pytest.raises(BuildError, match="is in use: choose another with --port"):
        serve._listen_near(running.folder, running.port)


def test_only_this_machine_is_served() -> None:
    assert serve.HOST == "127.0.0.1"
