"""WebKit for the tests: Debian's package of WebKitGTK's driver, where it can be installed."""

from __future__ import annotations

import os

from . import browser
from .errors import BuildError
from .process import run
from .progress import say
from .webdriver import missing

PACKAGES = ("webkit2gtk-driver", "xvfb", "dbus")


def ensure() -> None:
    """Install the driver on Debian as root; elsewhere the WebKit tests say why they are skipped."""
    if not missing():
        return
    if not browser.debian_as_root():
        say(f"WebKit is not tested: {why_not()}")
        return
    try:
        _install()
    except BuildError as error:
        if demanded():
            raise
        say(f"WebKit is not tested: {error}")


def _install() -> None:
    say("installing WebKitGTK's driver from Debian")
    env = {"DEBIAN_FRONTEND": "noninteractive"}
    run(["apt-get", "update", "-qq"], doing="Updating the package lists", env=env, quiet=True)
    run(["apt-get", "install", "-y", "-qq", "--no-install-recommends", *PACKAGES],
        doing="Installing WebKitGTK's driver", env=env, quiet=True)


def demanded() -> bool:
    """With ``GUYLINE_WEBKIT=1`` its absence is a failure; else it is a reason to skip."""
    return os.environ.get("GUYLINE_WEBKIT") == "1"


def why_not() -> str:
    """One sentence for whoever runs the tests without it."""
    return (f"{', '.join(missing())} not installed; on Debian as root: "
            f"apt-get install --no-install-recommends {' '.join(PACKAGES)}")
