"""What is built: complete, described by its own list, and closed to the outside."""

from __future__ import annotations

import gzip
import hashlib
import json
import re
import zipfile
from pathlib import Path

import pytest

from pycore import __version__
from pycore.api.table import MODULES
from pycore.fields import FIELDS
from webapp.build import assemble, check_dist, pack, policy, vendor
from webapp.build.assemble import Built
from webapp.build.errors import BuildError
from webapp.build.media_types import TYPES


def _names(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_the_list_names_every_file_with_its_hash_and_size(dist: Path) -> None:
    rows = json.loads((dist / "precache.json").read_text())
    assert {row[0] for row in rows} == _names(dist) - assemble.UNLISTED
    for name, sha256, size in rows:
        data = (dist / name).read_bytes()
        assert (hashlib.sha256(data).hexdigest(), len(data)) == (sha256, size), name


def test_the_service_worker_belongs_to_this_list_and_build(built: Built) -> None:
    text = (built.folder / "sw.js").read_text()
    listed = hashlib.sha256((built.folder / "precache.json").read_bytes()).hexdigest()
    assert f'const BUILD = "{built.build_id}";' in text
    assert f'const LIST_SHA256 = "{listed}";' in text
    assert f'const POLICY = "{policy.policy()}";' in text


@pytest.mark.parametrize("name", [
    "index.html", "main.js", "manifest.webmanifest", "contract.js", "core/pycore.zip",
    "pyodide/pyodide.mjs", "pyodide/pyodide.asm.mjs", "pyodide/pyodide.asm.wasm",
    "pyodide/python_stdlib.zip", "pyodide/pyodide-lock.json", "worker/worker.js",
    "icons/guyline-192.png", "vendor/lit/index.js", "vendor/lit/LICENSE",
    "vendor/d3/d3.min.js", "vendor/@observablehq/plot/plot.umd.min.js", "licences/numpy.txt",
    "licences/pydicom.txt", "licences/micropip.txt",
])
def test_a_needed_file_is_there(dist: Path, name: str) -> None:
    assert (dist / name).stat().st_size > 0


def test_nothing_of_the_workshop_is_served(dist: Path) -> None:
    wrong = [name for name in _names(dist)
             if name.endswith((".py", ".pyc", ".ts", ".map")) or "node_modules" in name]
    assert wrong == []


def test_every_file_has_a_known_type(dist: Path) -> None:
    assert [name for name in _names(dist) if Path(name).suffix not in TYPES] == []


def test_every_module_that_a_page_imports_is_there(dist: Path) -> None:
    """Bare names through the import map, others beside the importing file."""
    imports = vendor.import_map()["imports"]
    missing = []
    for name in sorted(_names(dist)):
        if not name.endswith(".js") or name == "sw.js":
            continue
        for target in _imported(check_dist.COMMENT.sub("", (dist / name).read_text())):
            path = _resolved(dist, name, target, imports)
            if not path.is_file():
                missing.append(f"{name}: {target}")
    assert missing == []


def _imported(text: str) -> list[str]:
    return re.findall(r"(?:^|[;}\s])(?:import|export)\s*(?:[\w$*\s{},]+?from\s*)?[\"']([^\"']+)[\"']", text)


def _resolved(dist: Path, importer: str, target: str, imports: dict[str, str]) -> Path:
    if target.startswith("."):
        return (dist / importer).parent / target
    if target in imports:
        return dist / imports[target]
    fitting = [one for one in imports if one.endswith("/") and target.startswith(one)]
    if not fitting:
        return dist / "missing" / target
    prefix = max(fitting, key=len)
    return dist / imports[prefix] / target[len(prefix):]


def test_no_address_of_another_origin(dist: Path) -> None:
    assert check_dist.foreign_addresses(dist) == []


@pytest.mark.parametrize(("name", "text"), [
    ("main.js", 'fetch("https://example.invalid/x")'), ("a.css", "@import url(http://e.invalid)"),
    ("vendor/a.js", "x='wss://e.invalid'"), ("b.json", '"https:\\/\\/e.invalid"'),
])
def test_an_address_of_another_origin_is_seen(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).write_text(text)
    assert len(check_dist.foreign_addresses(tmp_path)) == 1


def test_the_page_carries_the_policy_and_the_hash_of_its_import_map(built: Built) -> None:
    text = (built.folder / "index.html").read_text()
    found = re.search(r'<script type="importmap">(.*?)</script>', text, re.S)
    assert found is not None
    assert policy.script_hash(found[1]) in policy.policy()
    assert f'content="{policy.policy()}"' in text
    assert f'<meta name="guyline-build" content="{built.build_id}">' in text
    assert "<style" not in text and "style=" not in text


def test_the_policy_is_strict() -> None:
    rules = dict(part.split(" ", 1) for part in policy.policy().split("; "))
    assert rules["default-src"] == rules["base-uri"] == rules["form-action"] == "'none'"
    assert rules["connect-src"] == rules["worker-src"] == "'self'"
    assert re.fullmatch(r"'self'( 'sha256-[A-Za-z0-9+/=]{44}'){2}", rules["style-src"])
    assert "unsafe-inline" not in policy.policy()
    assert "'unsafe-eval'" not in policy.policy()


def test_the_contract_is_the_core_s(dist: Path) -> None:
    text = (dist / "contract.js").read_text()
    parts = dict(re.findall(r"export const (\w+) = (.*?);\n(?=export|$)", text, re.S))
    assert json.loads(parts["CORE_VERSION"]) == __version__
    assert set(json.loads(parts["OPERATIONS"])) == set(MODULES)
    fields = json.loads(parts["FIELDS"])
    assert fields == json.loads(json.dumps({name: entry.as_dict() for name, entry in FIELDS.items()}))


@pytest.mark.parametrize(("archive", "member"), [
    ("core/pycore.zip", "pycore/api/boundary.pyc"), ("core/pycore.zip", "pycore/_build.pyc"),
    ("pyodide/python_stdlib.zip", "json/__init__.pyc"),
    ("pyodide/numpy-2.4.3-cp314-cp314-pyemscripten_2026_0_wasm32.whl", "numpy/_core/numeric.pyc"),
])
def test_archives_hold_bytecode_only(dist: Path, archive: str, member: str) -> None:
    with zipfile.ZipFile(dist / archive) as opened:
        names = opened.namelist()
    assert member in names
    assert [name for name in names if name.endswith((".py", ".pyi", ".pxd")) or "/tests/" in name] == []


def test_the_lock_names_the_slimmed_numpy_and_micropip_and_nothing_else(dist: Path) -> None:
    packages = json.loads((dist / "pyodide" / "pyodide-lock.json").read_text())["packages"]
    assert list(packages) == ["micropip", "numpy"]
    for package in packages.values():
        data = (dist / "pyodide" / package["file_name"]).read_bytes()
        assert hashlib.sha256(data).hexdigest() == package["sha256"]


def test_what_reads_dicom_is_small_and_kept_with_the_rest(dist: Path) -> None:
    (wheel,) = (dist / "wheels").iterdir()
    assert wheel.stat().st_size < 0.75e6
    with zipfile.ZipFile(wheel) as opened:
        assert {Path(name).suffix for name in opened.namelist()} <= {".pyc", ""}
        # Its examples look for files on the network when they are imported.
        assert len(opened.read("pydicom/examples/__init__.pyc")) < 300
    last = [row[0] for row in json.loads((dist / "precache.json").read_text())[-2:]]
    assert last == ["pyodide/micropip-0.11.1-py3-none-any.whl", f"wheels/{wheel.name}"]
    assert wheel.name in (dist / "worker" / "dicom.js").read_text()


def test_another_byte_is_another_build() -> None:
    one = assemble._identity({"a.js": b"1"}, {"index.html": "x"})
    assert one == assemble._identity({"a.js": b"1"}, {"index.html": "x"})
    assert one != assemble._identity({"a.js": b"2"}, {"index.html": "x"})
    assert one != assemble._identity({"b.js": b"1"}, {"index.html": "x"})


def test_a_changed_template_stops_the_build() -> None:
    with pytest.raises(BuildError, match="must hold the text"):
        assemble.index_html("<html></html>", "id")


def test_a_changed_pyodide_stops_the_build() -> None:
    with pytest.raises(BuildError, match="another form"):
        assemble.without_release_address("nothing here")


def test_a_failed_build_leaves_the_old_one_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "dist"
    assemble._write({"a.txt": b"old"}, target)
    with pytest.raises(TypeError):
        assemble._write({"a.txt": b"new", "b.txt": None}, target)  # type: ignore[dict-item]
    assert (target / "a.txt").read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["dist"]


def test_the_archive_is_packed_with_its_hash(built: Built, tmp_path: Path) -> None:
    archive = pack.pack(built, tmp_path)
    digest, name = (tmp_path / f"{archive.name}.sha256").read_text().split()
    assert hashlib.sha256(archive.read_bytes()).hexdigest() == digest
    assert name == archive.name
    with zipfile.ZipFile(archive) as opened:
        assert set(opened.namelist()) == _names(built.folder)


def test_the_allowed_styles_are_those_that_the_drawing_library_writes() -> None:
    """The same constants stand in its readable sources, which are not what is served."""
    folder = vendor.NODE_MODULES / policy.PLOT / "src"
    written = [text for name in ("legends/ramp.js", "plot.js")
               for text in re.findall(r'append\("style"\)\.text\(\s*`([^`]*)`', (folder / name).read_text())]
    assert [text.replace("${className}", policy.FIGURE_CLASS) for text in written] == list(policy.figure_styles())


def test_all_that_is_served_stays_below_ten_megabytes(dist: Path) -> None:
    """Compressed as a host sends it, without what reads DICOM; the promise for a first start on a poor connection."""
    files = [path for path in dist.rglob("*") if path.is_file() and not path.relative_to(dist).as_posix().startswith(assemble.LAST)]
    assert sum(len(gzip.compress(path.read_bytes(), 9)) for path in files) < 10e6
