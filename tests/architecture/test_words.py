"""No screen holds a text of its own: all of them stand in the catalogue, and that is really looked at."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

from webapp.build.paths import WEBAPP

LOOK = Path(__file__).parent / "inline_texts.mjs"
CATALOGUE = WEBAPP / "words" / "en"
FOLDERS = ("views", "elements", "charts", "store", "worker")

#: Texts that are not for a reader of another language, by module. This list may only shrink.
STILL_INLINE = {
    # A style, a class, and the name under which a preference is stored.
    "views/eyes/long-list.js": 1, "views/plan/findings.js": 1, "store/own-eyes.js": 1,
    # Inside the workers: Python code, and technical reasons that are reported as they are.
    "worker/boot.js": 3, "worker/worker.js": 2, "worker/snapshot-maker.js": 3, "worker/kept-snapshot.js": 5,
}


def inline(*files: Path) -> list[dict[str, object]]:
    """What the look finds in some modules."""
    done = subprocess.run(["node", str(LOOK), str(WEBAPP), *map(str, files)], capture_output=True, text=True, check=True)
    found: list[dict[str, object]] = json.loads(done.stdout)
    return found


def modules() -> list[Path]:
    """Every module that a screen is made of."""
    return [WEBAPP / "begin.js", WEBAPP / "main.js", *(path for folder in FOLDERS for path in sorted((WEBAPP / folder).rglob("*.js")))]


def test_no_module_of_the_screens_holds_a_text() -> None:
    texts: dict[str, list[str]] = {}
    for one in inline(*modules()):
        name = Path(str(one["file"])).relative_to(WEBAPP).as_posix()
        texts.setdefault(name, []).append(f"{name}:{one['line']}: {one['text']}")
    too_many = [text for name, some in texts.items() if len(some) > STILL_INLINE.get(name, 0) for text in some]
    assert not too_many, "move these into webapp/words/en:\n" + "\n".join(too_many)
    assert {name: len(texts.get(name, [])) for name in STILL_INLINE} == STILL_INLINE, "shorten the list: fewer are left"


PLANTED = [
    "html`<p>Cut at the tip</p>`",
    "html`<button>Save</button>`",
    "html`<p>${count} lenses left</p>`",
    'html`<gl-card heading="The box"></gl-card>`',
    'html`<button aria-label="Take one ${power} out"></button>`',
    "html`<p>${busy ? \"working\" : nothing}</p>`",
    "svg`<text>myopic</text>`",
    'this.fault = "Not saved. Try again.";',
    "this.fault = `Not saved: ${reason}`;",
    'const NAMES = { plan: "Planning" };',
    'const STATES = { done: "\u2713 done" };',
    "const hour = `${clock} o\u2019clock`;",
    'const KEYS = [{ hash: "#/box", word: "box" }];',
    'throw new Error("There is no such eye.");',
]
NOT_TEXTS = [
    "html`<p class=\"soft small\">${t.box.empty}</p>`",
    "html`<p>${plain(value, \"power_d\")} D, ${size} mm</p>`",
    'html`<p class=${open ? "result stale" : "result"}></p>`',
    'if (event.key === "Enter") this.root.querySelector("gl-number input");',
    "// A sentence in a comment.",
    'css`:host { display: block; }`',
]


def looked_at(snippets: list[str], folder: Path) -> list[int]:
    """How many texts are found in each snippet, by one look at all of them."""
    files = [folder / f"{number}.js" for number in range(len(snippets))]
    for file, snippet in zip(files, snippets, strict=True):
        file.write_text(f"const some = () => {{\n{snippet}\n}};\n")
    found = [str(one["file"]) for one in inline(*files)]
    return [found.count(str(file)) for file in files]


def test_a_planted_text_is_seen(tmp_path: Path) -> None:
    assert dict(zip(PLANTED, looked_at(PLANTED, tmp_path), strict=True)) == dict.fromkeys(PLANTED, 1)


def test_what_is_not_a_text_passes(tmp_path: Path) -> None:
    assert dict(zip(NOT_TEXTS, looked_at(NOT_TEXTS, tmp_path), strict=True)) == dict.fromkeys(NOT_TEXTS, 0)


def keys_of(module: Path) -> set[str]:
    """The keys of one module of the catalogue."""
    return set(re.findall(r"^  (\w+):", module.read_text(encoding="utf-8"), re.M))


def test_every_text_of_the_catalogue_is_used() -> None:
    sources = "\n".join(path.read_text(encoding="utf-8") for path in [*modules(), *(WEBAPP / "words").glob("*.js")])
    used = set(re.findall(r"\bt\.(\w+\.\w+)", sources))
    written = {f"{camel(path.stem)}.{key}" for path in CATALOGUE.glob("*.js") if path.stem != "index" for key in keys_of(path)}
    assert written - used == set()


def camel(name: str) -> str:
    """follow-up -> followUp, as the catalogue names its places."""
    return re.sub(r"-(\w)", lambda found: found[1].upper(), name)
