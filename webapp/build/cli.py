"""The command line of build.py: one function per command."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence

from .errors import BuildError, run_plainly

Command = Callable[[argparse.Namespace], int]
OLDEST_PYTHON = (3, 11)


def serve(options: argparse.Namespace) -> int:
    """Build everything and serve it on this machine."""
    from . import assemble
    from . import serve as server
    built = assemble.build()
    wanted = not options.no_browser and not os.environ.get("CI") and sys.stdout.isatty()
    return server.serve(built.folder, options.port, open_browser=wanted)


def build(options: argparse.Namespace) -> int:
    """Build the app and pack it into one archive."""
    from . import assemble, compress, pack
    built = assemble.build()
    if options.packed:
        compress.beside(built.folder)
    pack.pack(built)
    return 0


def test(options: argparse.Namespace) -> int:
    """Install what the tests need and run all of them."""
    from . import suite
    return suite.run_tests(options.arguments)


def check(options: argparse.Namespace) -> int:
    """Style, types, dependency direction, reproducible output, no foreign address."""
    from . import checks
    return checks.run_all()


def bench(options: argparse.Namespace) -> int:
    """Boot and answer times; with --cohort virtual eyes, with --refold learning from a thousand."""
    from . import suite
    return suite.run_bench(options.arguments)


COMMANDS: dict[str, Command] = {
    "serve": serve, "build": build, "test": test, "check": check, "bench": bench,
}


# Commands whose further arguments belong to the program they start.
PASSING_ON = ("test", "bench")


def parser() -> argparse.ArgumentParser:
    """Commands with their own help."""
    main = argparse.ArgumentParser(prog="build.py", description="Build, serve and test Guyline.")
    commands = main.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name, action in COMMANDS.items():
        one = commands.add_parser(name, help=action.__doc__, description=action.__doc__)
        if name == "serve":
            one.add_argument("--port", type=int, help="port to listen on")
            one.add_argument("--no-browser", action="store_true", help="do not open a browser")
        if name == "build":
            one.add_argument("--packed", action="store_true", help="also write .br and .gz files")
        if name in PASSING_ON:
            one.epilog = "Further arguments are passed on" + (" to pytest." if name == "test" else ".")
    return main


def parsed(words: Sequence[str]) -> argparse.Namespace:
    """Options of the command; what it passes on is in ``arguments``, a leading ``--`` dropped."""
    passing = bool(words) and words[0] in PASSING_ON and words[1:] not in (["-h"], ["--help"])
    options = parser().parse_args(words[:1] if passing else words)
    further = list(words[1:]) if passing else []
    options.arguments = further[1:] if further[:1] == ["--"] else further
    return options


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; expected failures end with one sentence."""
    if sys.version_info < OLDEST_PYTHON:
        print("build.py: Python 3.11 or newer is needed.", file=sys.stderr)
        return 1
    options = parsed(sys.argv[1:] if arguments is None else arguments)
    return run_plainly(lambda: COMMANDS[options.command](options))


__all__ = ["BuildError", "main"]
