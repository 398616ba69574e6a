"""A served app and a phone-sized page in Chromium."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from webapp.build import browser as chromium
from webapp.build.serve import Running

#: On a busy machine a browser may starve for half a minute. One more try in a fresh profile, for
#: these tests only; the run's last lines name every test that needed it.
RERUNS = 1
HERE = Path(__file__).resolve().parent


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The browser's tests may run once more."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.flaky(reruns=RERUNS))


PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="session")
def app_url(dist: Path) -> Iterator[str]:
    """Address of the app, served for the whole run."""
    running = Running(dist)
    yield running.address
    running.stop()


@pytest.fixture
def server(dist: Path, tmp_path: Path) -> Iterator[Running]:
    """A server of its own, with its own copy of the app: may be stopped, files may be changed."""
    folder = tmp_path / "served"
    shutil.copytree(dist, folder)
    running = Running(folder)
    yield running
    running.stop()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for the whole run."""
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(
            executable_path=chromium.find(), args=list(chromium.FLAGS)
        )
        yield started
        started.close()


@pytest.fixture
def new_context(browser: Browser) -> Iterator[Callable[..., BrowserContext]]:
    """Opens fresh, empty profiles of a phone; closed at the end of the test."""
    opened: list[BrowserContext] = []

    def make(**options: object) -> BrowserContext:
        settings = {"viewport": PHONE, "has_touch": True, "is_mobile": True,
                    "device_scale_factor": 2, **options}
        context = browser.new_context(**settings)  # type: ignore[arg-type]
        context.set_default_timeout(30_000)
        opened.append(context)
        return context

    yield make
    for context in opened:
        context.close()


@pytest.fixture
def context(new_context: Callable[..., BrowserContext]) -> BrowserContext:
    """A fresh, empty profile of a phone."""
    return new_context()


@pytest.fixture
def page(context: BrowserContext) -> Iterator[Page]:
    """A page that fails its test on any script error."""
    opened = context.new_page()
    errors: list[str] = []
    opened.on("pageerror", lambda error: errors.append(str(error)))
    yield opened
    assert not errors, f"the page threw: {errors}"
