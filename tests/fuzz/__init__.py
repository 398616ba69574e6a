"""Hostile inputs for everything that reads: ``python3 -m tests.fuzz --inputs 100000``.

Seeded, bounded and outside the ordinary tests; a short run is in ``tests/unit/test_fuzz.py``. Three
things are counted, and each must be none: crashes (an answer that is neither a value nor a named error,
or none within the time), changes of what was given or of files by input that was rejected, and requests
to anywhere else.
"""
