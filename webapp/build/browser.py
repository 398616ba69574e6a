"""A Chromium for the tests: the system's, else Debian's package, else Playwright's download."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from .process import run
from .progress import say

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
MAC = Path("/Applications/Google Chrome.app/Contents/MacOS/Google Chrome")
# Headless, as root too, and without the services that would look for the network.
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)


def find() -> str | None:
    """Path of an installed Chromium; GUYLINE_CHROMIUM goes first."""
    named = os.environ.get("GUYLINE_CHROMIUM")
    if named:
        return named
    found = next((path for path in map(shutil.which, NAMES) if path), None)
    return found or (str(MAC) if MAC.exists() else None)


def ensure(python: Path) -> None:
    """Install a Chromium when there is none."""
    if find() is not None:
        return
    if debian_as_root():
        say("installing Chromium from Debian")
        env = {"DEBIAN_FRONTEND": "noninteractive"}
        run(["apt-get", "update", "-qq"], doing="Updating the package lists", env=env, quiet=True)
        run(["apt-get", "install", "-y", "-qq", "--no-install-recommends", "chromium"],
            doing="Installing Chromium", env=env, quiet=True)
        return
    say("downloading Playwright's Chromium")
    run([python, "-m", "playwright", "install", "chromium"], doing="Downloading Chromium")


def debian_as_root() -> bool:
    """Whether Debian's packages can be installed here."""
    is_root = hasattr(os, "geteuid") and os.geteuid() == 0
    return is_root and Path("/etc/debian_version").exists() and shutil.which("apt-get") is not None
