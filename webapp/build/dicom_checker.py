"""dciodvfy for the tests: Debian's independent checker of DICOM files, where it can be installed."""

from __future__ import annotations

import shutil

from . import browser
from .errors import BuildError
from .process import run
from .progress import say

PROGRAM = "dciodvfy"
PACKAGE = "dicom3tools"


def found() -> bool:
    """Whether it can be started here."""
    return shutil.which(PROGRAM) is not None


def ensure() -> None:
    """Install it on Debian as root; elsewhere the tests that need it say why they are skipped."""
    if found():
        return
    if not browser.debian_as_root():
        say(f"DICOM files are not checked by a second program: {why_not()}")
        return
    say("installing the checker of DICOM files from Debian")
    try:
        env = {"DEBIAN_FRONTEND": "noninteractive"}
        run(["apt-get", "update", "-qq"], doing="Updating the package lists", env=env, quiet=True)
        run(["apt-get", "install", "-y", "-qq", "--no-install-recommends", PACKAGE],
            doing=f"Installing {PACKAGE}", env=env, quiet=True)
    except BuildError as error:
        say(f"DICOM files are not checked by a second program: {error}")


def why_not() -> str:
    """One sentence for whoever runs the tests without it."""
    return f"{PROGRAM} is not installed; on Debian as root: apt-get install --no-install-recommends {PACKAGE}"
