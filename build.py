#!/usr/bin/env python3
"""Build, serve and test Guyline; needs only Python's standard library to start.

    python3 build.py serve     build everything and serve it on this machine
    python3 build.py build     build into dist/ and pack it into dist-zip/
    python3 build.py test      install what the tests need and run all of them
    python3 build.py check     style, types, dependency direction, reproducible output
    python3 build.py bench     boot and answer times

The parts live in webapp/build/, one idea each.
"""

import sys

from webapp.build.cli import main

if __name__ == "__main__":
    sys.exit(main())
