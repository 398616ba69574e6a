"""Dependency direction of the core, and what it may not reach."""

from __future__ import annotations

import subprocess
import sys

import pytest

from webapp.build import check_sources, imports
from webapp.build.imports import NUMPY_MODULES, Import, graph, module_name, violations
from webapp.build.paths import CORE, ROOT

BLOCKED = """
import sys, importlib
class Block:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] == "numpy":
            raise ModuleNotFoundError("numpy is not here", name="numpy")
sys.meta_path.insert(0, Block())
for name in sys.argv[1:]:
    importlib.import_module(name)
from pycore.api import handle
assert '"operations"' in handle('{"id": 1, "operation": "describe", "payload": {}}')
"""


def test_imports_follow_the_rules() -> None:
    assert violations() == []


def test_the_graph_is_read() -> None:
    edges = {(edge.importer, edge.imported) for edge in graph()}
    assert ("pycore.__main__", "pycore.api.boundary.answer") in edges
    assert ("pycore.api.op_describe", "pycore.fields.FIELDS") in edges


@pytest.mark.parametrize(
    ("importer", "imported", "rule"),
    [
        ("pycore.belief.eye", "pycore.records.case", "never sees a record"),
        ("pycore.audit.statistics", "pycore.exchange.csv_export", "never sees a record"),
        ("pycore.records.case", "pycore.api.handle", "nothing imports the door"),
        ("pycore.belief.gaussian", "numpy", "numpy only"),
        ("pycore.api.boundary", "numpy.linalg", "numpy only"),
        ("pycore.exchange.backup", "urllib.request", "never reaches out"),
        ("pycore.api.boundary", "js", "never reaches out"),
        ("pycore.audit.statistics", "scipy.stats", "no dependencies"),
        ("pycore.exchange.csv_import", "pydicom", "pydicom only"),
    ],
)
def test_a_wrong_import_is_seen(importer: str, imported: str, rule: str) -> None:
    assert any(rule in text for text in violations([Import(importer, imported, 1)]))


@pytest.mark.parametrize(
    ("importer", "imported"),
    [
        ("pycore.api.op_power", "pycore.records.case"),
        ("pycore.optics.trace", "numpy"),
        ("pycore.__main__", "pycore.api.boundary"),
        ("pycore.belief.eye", "math"),
    ],
)
def test_a_right_import_is_allowed(importer: str, imported: str) -> None:
    assert violations([Import(importer, imported, 1)]) == []


def test_everything_else_imports_and_describes_itself_without_numpy() -> None:
    names = sorted(name for path in CORE.rglob("*.py")
                   if (name := module_name(path)) not in NUMPY_MODULES
                   and not name.endswith("__main__"))
    done = subprocess.run([sys.executable, "-c", BLOCKED, *names], cwd=ROOT, text=True,
                          capture_output=True)
    assert done.returncode == 0, done.stderr
    assert len(names) > 10


def test_every_module_that_may_use_numpy_says_so_by_existing_rules() -> None:
    used = {edge.importer for edge in graph() if edge.imported.split(".")[0] == "numpy"}
    assert used <= set(NUMPY_MODULES)


def test_relative_imports_are_resolved() -> None:
    import ast
    node = ast.parse("from ..records import case").body[0]
    assert list(imports._names(node, "pycore.belief")) == ["pycore.records.case"]


def test_no_arithmetic_on_quantities_in_the_browser() -> None:
    assert check_sources.browser_arithmetic() == []


@pytest.mark.parametrize(
    "code",
    ["const s = -refraction_d;", "x = low80_d + high80_d", "y = scale * answer.mean_d",
     "show(reading.sphere_d + reading.cylinder_d / 2)", "z = 90 - axis_deg", "(a) - b.cut_mm"],
)
def test_arithmetic_is_seen(code: str) -> None:
    assert check_sources.ARITHMETIC.search(check_sources.code_only(code))


@pytest.mark.parametrize(
    "code",
    ["// mean_d - sd_d", 'const text = "mean_d - sd_d";', "const { mean_d, sd_d } = value;",
     "if (a.mean_d > b.mean_d) x += 1;", "/* -refraction_d */", "f(mean_d, -1)", "x_d += ''"],
)
def test_other_code_is_left_alone(code: str) -> None:
    assert not check_sources.ARITHMETIC.search(check_sources.code_only(code))
