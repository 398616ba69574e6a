"""Shared by all suites: fixed seeds for generated examples, and one built app."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import settings

from webapp.build import assemble

# numpy's threads wait for each other by spinning: on small matrices that is six times the work,
# taken from the tests beside. Read when numpy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

settings.register_profile("fixed", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("fixed")


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> assemble.Built:
    """The app of this checkout, in a folder of its own; compiled parts come from the cache."""
    return assemble.build(tmp_path_factory.mktemp("app") / "dist")


@pytest.fixture(scope="session")
def dist(built: assemble.Built) -> Path:
    """The folder that is served."""
    return built.folder
