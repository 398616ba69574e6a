"""The one way a build step gives up: a single clear sentence and a non-zero exit."""

from __future__ import annotations

import errno
import sys
from collections.abc import Callable


class BuildError(Exception):
    """A failure that the reader can act on; its text is one sentence."""


def sentence_for(error: OSError) -> str:
    """Say in one sentence what an operating-system error means for the build."""
    where = f" ({error.filename})" if error.filename else ""
    if error.errno == errno.ENOSPC:
        return f"The disk is full{where}: free about 500 MB and run the command again."
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return f"No permission to write{where}: check the owner of the folder and run again."
    return f"The system refused a file operation{where}: {error.strerror or error}."


def run_plainly(command: Callable[[], int]) -> int:
    """Run a command; turn every expected failure into one sentence on stderr."""
    try:
        return command()
    except BuildError as error:
        print(f"build.py: {error}", file=sys.stderr)
        return 1
    except OSError as error:
        print(f"build.py: {sentence_for(error)}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nbuild.py: stopped.", file=sys.stderr)
        return 130
