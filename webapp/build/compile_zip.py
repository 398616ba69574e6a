"""Runs inside Pyodide: /in/source.zip or the folder /in/tree -> /out/compiled.zip of .pyc.

Bytecode is written with unchecked hash headers and every member gets the same date, so
equal sources give equal bytes. ARGUMENT is a JSON object: ``drop`` (name patterns left
out), ``empty`` (modules left without their content), ``prefix`` (put before the file name that
tracebacks show), ``optimize`` (2 leaves out docstrings and assertions) and ``record`` (path of a
wheel's RECORD to write anew).
"""

import fnmatch
import hashlib
import importlib.util
import json
import os
import zipfile
from importlib._bootstrap_external import _code_to_hash_pyc

DATE = (1980, 1, 1, 0, 0, 0)
options = json.loads(globals().get("ARGUMENT") or "{}")


def members():
    """Yield (name, bytes) in a fixed order."""
    if os.path.exists("/in/source.zip"):
        with zipfile.ZipFile("/in/source.zip") as archive:
            for name in sorted(archive.namelist()):
                if not name.endswith("/"):
                    yield name, archive.read(name)
        return
    found = []
    for folder, _, names in os.walk("/in/tree"):
        found += [os.path.join(folder, name) for name in names]
    for path in sorted(found):
        with open(path, "rb") as file:
            yield os.path.relpath(path, "/in/tree"), file.read()


def dropped(name):
    """True for members that the browser never needs."""
    return any(fnmatch.fnmatchcase(name, pattern) for pattern in options.get("drop", ()))


def compiled(name, source):
    """Bytecode of one module, as an unchecked-hash .pyc."""
    shown = options.get("prefix", "") + name
    code = compile(source, shown, "exec", dont_inherit=True, optimize=options.get("optimize", 0))
    return bytes(_code_to_hash_pyc(code, importlib.util.source_hash(source), checked=False))


def record_of(written):
    """A wheel's list of files, for the files that are really there."""
    import base64
    lines = []
    for name, data in written:
        digest = base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=").decode()
        lines.append(f"{name},sha256={digest},{len(data)}\n")
    return "".join([*lines, f"{options['record']},,\n"]).encode()


written = []
for name, data in members():
    if dropped(name) or name == options.get("record"):
        continue
    if name in options.get("empty", ()):
        data = b""
    if name.endswith(".py"):
        name, data = name + "c", compiled(name, data)
    written.append((name, data))
if options.get("record"):
    written.append((options["record"], record_of(written)))
with zipfile.ZipFile("/out/compiled.zip", "w") as archive:
    for name, data in written:
        info = zipfile.ZipInfo(name, DATE)
        info.external_attr = 0o644 << 16
        archive.writestr(info, data, zipfile.ZIP_DEFLATED, 9)
