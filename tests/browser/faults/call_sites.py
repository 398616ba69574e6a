"""Every place in the sources that calls IndexedDB, the caches or local storage, found by their text.

A call is found by its method's name; what has such a name and is none (a Map, a Set, headers) is listed
in ``NOT_STORAGE`` by its receiver, so that a new call can be overlooked by nobody.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from webapp.build.check_sources import code_only
from webapp.build.paths import WEBAPP

FILES = ("sw.js", *sorted(f"store/{path.name}" for path in (WEBAPP / "store").glob("*.js")))

#: Names of calls that reach a storage, and what can go wrong with each.
ASKED = ("abort", "lost", "timeout")
FETCHED = (*ASKED, "truncated")
CHANGED = (*ASKED, "quota")
SHAPED, CACHED = ("abort", "quota"), ("abort", "timeout")
DATABASE = {
    "get": FETCHED, "getAll": FETCHED, "getKey": ASKED, "getAllKeys": ASKED, "count": ASKED,
    "openCursor": ASKED, "openKeyCursor": ASKED, "continue": ASKED,
    "put": (*CHANGED, "truncated"), "add": (*CHANGED, "truncated"), "delete": CHANGED, "clear": CHANGED,
    "transaction": (*CHANGED, "unheard"), "openDB": ("abort", "quota", "timeout"), "deleteDB": CACHED,
    "databases": CACHED, "createObjectStore": SHAPED, "createIndex": SHAPED,
    "deleteObjectStore": SHAPED, "deleteIndex": SHAPED,
}
#: In files that keep answers in caches, the same names mean other calls.
CACHES = {
    "open": (*CACHED, "quota"), "has": CACHED, "keys": CACHED, "delete": CACHED, "addAll": CACHED,
    "match": (*CACHED, "lost", "truncated"), "matchAll": CACHED, "put": (*CACHED, "quota", "truncated"),
}
LOCAL = {"getItem": ("abort", "lost", "truncated"), "setItem": SHAPED, "removeItem": SHAPED}
CACHING_FILES = ("sw.js", "store/copy.js")
NAMES = {**DATABASE, **CACHES, **LOCAL}
#: Receivers of calls with such names that reach no storage: maps, sets, texts, headers, open windows.
NOT_STORAGE = {
    "this.failures", "boxes", "headers", "answer.headers", "answer?.headers", "Object", "scope.clients", "OWN",
    "changed", "plain", "undone", "taken", "texts", "known", "inFile", "own", "WITHDRAWN",
}
CALL = re.compile(rf"\.(?P<method>{'|'.join(NAMES)})\(|(?<![\w.$])(?P<bare>openDB|deleteDB)\(")
RECEIVER = re.compile(r"\w[\w.?]*$|$")
START = re.compile(r"^(?:export )?(?:async )?function\*? (?P<plain>\w+)"
                   r"|^  (?:static |async |get |set )*(?P<member>#?\w+)\([^;]*\) \{"
                   r"|^(?:export )?const (?P<constant>\w+) ="
                   r"|^  (?P<entry>\w+): async \(")


@dataclass(frozen=True, order=True)
class CallSite:
    """One call: where it stands, and a name that outlives lines moving."""

    name: str
    faults: tuple[str, ...]
    file: str
    line: int
    first: int
    last: int

    @property
    def place(self) -> str:
        """Where the browser's stack may say that it is: somewhere in the method's name or just behind it."""
        return f"{self.file}:{self.line}:{self.first}-{self.last}"

    def holds(self, place: str) -> bool:
        """Whether a place of the stack is this call."""
        file, line, column = place.rsplit(":", 2)
        return (file, int(line)) == (self.file, self.line) and self.first <= int(column) <= self.last


def call_sites() -> list[CallSite]:
    """All of them, in the order of the text."""
    return [site for file in FILES for site in sites_in(file, (WEBAPP / file).read_text(encoding="utf-8"))]


def sites_in(file: str, text: str) -> list[CallSite]:
    """Those of one file; the second call of one name in a function is "name 2"."""
    seen: dict[str, int] = {}
    found = []
    for function, method, line, first in _calls(text):
        plain = f"{file} {function} {method}"
        seen[plain] = seen.get(plain, 0) + 1
        name = plain if seen[plain] == 1 else f"{plain} {seen[plain]}"
        found.append(CallSite(name, _faults(file, method), file, line, first, first + len(method)))
    return found


def _calls(text: str) -> Iterator[tuple[str, str, int, int]]:
    function = "top"
    for number, line in enumerate(code_only(text).splitlines(), 1):
        start = START.match(line)
        if start and start["member"] not in ("if", "for", "while", "switch", "catch", "constructor"):
            function = next(name for name in start.groups() if name)
        for call in CALL.finditer(line):
            word = "bare" if call["bare"] else "method"
            if word == "bare" or _receiver(line[: call.start()]) not in NOT_STORAGE:
                yield function, call[word], number, call.start(word) + 1


def _faults(file: str, method: str) -> tuple[str, ...]:
    known = {**DATABASE, **LOCAL, **CACHES} if file in CACHING_FILES else {**CACHES, **LOCAL, **DATABASE}
    return known[method]


def _receiver(before: str) -> str:
    found = RECEIVER.search(before)
    return found[0] if found else ""
