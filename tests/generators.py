"""Seeded random requests, valid and invalid, for every operation.

``requests("power", 100, seed=1)`` gives a hundred payloads, the same for the same seed on
every Python. An operation is added with :func:`generator` in this file or in a module
``generators_<subject>.py`` beside it; the first argument is a ``random.Random``::

    @generator("advise")
    def advise(source: random.Random) -> dict[str, Any]:
        ...

A generator writes a valid request; :func:`spoil` then damages about one in three.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any, Final

Payload = dict[str, Any]
Generator = Callable[[random.Random], Payload]

#: Share of requests that are damaged on purpose.
SPOILED: Final = 1 / 3

_GENERATORS: dict[str, Generator] = {}

#: What is put in place of a value to damage a request.
_DAMAGE: Final[tuple[Any, ...]] = (
    None, "", "12", True, [], {}, [1, 2, 3], {"value": 1}, -1e308, 1e308, 1e9, -1.0, 0, 10**400, 7.7, 235.0,
)


def generator(operation: str) -> Callable[[Generator], Generator]:
    """Register the decorated function as the generator of ``operation``."""

    def register(function: Generator) -> Generator:
        _GENERATORS[operation] = function
        return function

    return register


def operations() -> list[str]:
    """Every operation with a generator."""
    for path in sorted(Path(__file__).parent.glob("generators_*.py")):
        import_module(f"tests.{path.stem}")
    return sorted(_GENERATORS)


def requests(operation: str, count: int, seed: int, *, spoiled: float = SPOILED) -> list[Payload]:
    """``count`` payloads for ``operation``; ``spoiled=0`` gives valid ones only."""
    if operation not in operations():
        raise KeyError(f"no generator for {operation!r}")
    source = random.Random(f"{operation} {seed}")
    return [_one(_GENERATORS[operation], source, spoiled) for _ in range(count)]


def spoil(payload: Payload, source: random.Random) -> Payload:
    """A damaged copy: a key lost, misspelt or given a wrong value, at any depth."""
    damaged = dict(payload)
    key = source.choice([*damaged, "unheard_of"])
    value = damaged.get(key)
    if isinstance(value, dict) and value and source.random() < 0.7:
        damaged[key] = spoil(value, source)
    elif isinstance(value, list) and value and source.random() < 0.7:
        damaged[key] = _spoil_list(value, source)
    elif source.random() < 0.25:
        damaged.pop(key, None)
    else:
        damaged[key] = source.choice(_DAMAGE)
    return damaged


def _spoil_list(values: list[Any], source: random.Random) -> list[Any]:
    damaged, index = list(values), source.randrange(len(values))
    inner = damaged[index]
    damaged[index] = spoil(inner, source) if isinstance(inner, dict) else source.choice(_DAMAGE)
    return damaged


def _one(function: Generator, source: random.Random, spoiled: float) -> Payload:
    payload = function(source)
    return spoil(payload, source) if source.random() < spoiled else payload


def step(source: random.Random, low: float, high: float, size: float) -> float:
    """A multiple of ``size`` from ``low`` to ``high``, as a person would type it."""
    return round(low + size * source.randint(0, round((high - low) / size)), 6)


def sometimes(source: random.Random, chance: float, **fields: Any) -> Payload:
    """``fields`` with the given chance, else nothing."""
    return fields if source.random() < chance else {}


def cornea(source: random.Random, *, possible: bool = False) -> Payload:
    """Two corneal powers or two radii, ordinary or anywhere within what is possible."""
    low, high = (28.0, 65.0) if possible else (40.0, 47.0)
    flat = step(source, low, high - 2.0, 0.01)
    steep = round(flat + step(source, 0.0, 2.0, 0.01), 6)
    if source.random() < 0.3:
        return {"r1_mm": round(337.5 / flat, 2), "r2_mm": round(337.5 / steep, 2)}
    return {"k1_d": flat, "k2_d": steep}


def lens_constants(source: random.Random, *, possible: bool = False) -> Payload:
    """An A constant, and sometimes explicit constants that fit it."""
    a = step(source, 110.0, 125.0, 0.01) if possible else step(source, 117.5, 119.5, 0.1)
    fitted = 0.6247 * (a - 118.7)
    return {
        "a": a,
        **sometimes(source, 0.3, pacd_mm=round(min(max(5.4 + fitted, 0.0), 9.0), 2)),
        **sometimes(source, 0.3, surgeon_factor_mm=round(min(max(1.6 + fitted, -4.0), 5.0), 2)),
        **sometimes(source, 0.4, a0=round(1.2 + fitted, 3), a1=0.4, a2=0.1),
    }


@generator("power")
def power(source: random.Random) -> Payload:
    """One eye: mostly ordinary, one in three anywhere within what is possible."""
    possible = source.random() < 1 / 3
    low, high = (14.0, 40.0) if possible else (21.0, 27.0)
    return {
        "axial_length_mm": step(source, low, high, 0.01),
        **cornea(source, possible=possible),
        **sometimes(source, 0.5, phakic_acd_mm=source.choice([None, step(source, 2.2, 4.2, 0.01)])),
        "target_d": step(source, -12.0, 6.0, 0.25) if possible else step(source, -3.0, 0.5, 0.125),
        **sometimes(source, 0.3, vertex_mm=source.choice([12.0, 13.75, 0.0])),
        "constants": lens_constants(source, possible=possible),
        **sometimes(source, 0.6, lens_power_d=step(source, -10.0, 45.0, 0.5)),
        **sometimes(source, 0.2, fellow=_fellow(source)),
    }


def _fellow(source: random.Random) -> Payload:
    return {"axial_length_mm": step(source, 21.0, 27.0, 0.01), **cornea(source)}


@generator("vergence_power")
def vergence_power(source: random.Random) -> Payload:
    """An aphakic eye or a refractive surprise."""
    return {
        "present_refraction_d": step(source, -8.0, 20.0, 0.25),
        "target_d": step(source, -3.0, 1.0, 0.125),
        "k_d": step(source, 38.0, 50.0, 0.01),
        "lens_position_mm": step(source, 3.5, 7.0, 0.01),
        **sometimes(source, 0.5, vertex_mm=source.choice([12.0, 13.75, 14.0, 0.0])),
    }


@generator("audit")
def audit(source: random.Random) -> Payload:
    """A series of one to eighty eyes."""
    bias, spread = source.gauss(0.0, 0.2), source.uniform(0.3, 0.8)
    return {"rows": [_row(source, bias, spread) for _ in range(source.randint(1, 80))]}


def _row(source: random.Random, bias: float, spread: float) -> Payload:
    predicted = step(source, -3.0, 0.5, 0.01)
    achieved = predicted + bias + source.gauss(0.0, spread)
    return {"predicted_d": predicted, "achieved_d": round(achieved / 0.125) * 0.125}


@generator("refraction")
def refraction(source: random.Random) -> Payload:
    """A sphero-cylinder in either form."""
    cylinder = step(source, -8.0, 8.0, 0.25)
    return {
        "sphere_d": step(source, -20.0, 20.0, 0.25),
        "cylinder_d": cylinder,
        **({} if cylinder == 0.0 and source.random() < 0.5 else {"axis_deg": source.randint(0, 180)}),
        **sometimes(source, 0.3, vertex_mm=source.choice([12.0, 13.75, 14.0])),
        **sometimes(source, 0.5, shown_as={"cylinder_notation": source.choice(["minus", "plus"])}),
    }
