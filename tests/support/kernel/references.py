"""The oracle's pictures by case: traced live, or as `tests/data/oracle` keeps their summaries under a key.

The key is of all that such a picture depends on: the renderer's version, the code of the oracle, the bands, the scene
with its lamps, samples and seeds. Values count in single precision, so that it is the same on every machine.
"""

from __future__ import annotations

import ast
import hashlib
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any, Final, Literal

import numpy as np

from materials.surface.energy import body_coupling
from render.images import bands
from render.kernel.trace import Tracer

from . import oracle, oracle_finishes, summaries
from .cases import Case, cases
from .significance import Estimate
from .summaries import Mask, Summary, summarize

FOLDER: Final = Path(__file__).parents[2] / "data" / "oracle"
REMEDY: Final = "make it anew with `python -m tests.data_scripts.make_oracle`"
BATCHES: Final = 32


class StaleReferenceError(AssertionError):
    """What is kept is not what the oracle would give now."""


@dataclass(frozen=True)
class Reference:
    """The oracle's picture of a case: traced when, where the subject is seen in it, and its summary."""

    traced: Literal["live", "before"]
    subject: Mask
    summary: Summary


Oracles = Callable[[str], Reference]
"""Gives the oracle's picture by the name of its case."""


@cache
def live(name: str) -> Reference:
    """Return the oracle's picture of a case, traced now."""
    case = cases()[name]
    seeds = range(case.number * BATCHES, (case.number + 1) * BATCHES)
    pictures = oracle.Oracle(case.geometry).images(case.lamps, case.samples // BATCHES, seeds)
    subject = np.asarray(Tracer(case.geometry).features.subject > 0.99)
    return Reference("live", subject, summarize(pictures, subject))


def stored(name: str) -> Reference:
    """Return the oracle's picture of a case as it is kept.

    Raises
    ------
    StaleReferenceError
        Where it is not there, or is of another renderer, oracle or scene.
    """
    path = path_of(name)
    if not path.is_file():
        raise StaleReferenceError(f"{path} is missing; {REMEDY}")
    with np.load(path) as kept:
        if str(kept["key"]) != key(cases()[name]):
            raise StaleReferenceError(f"{path} is of another renderer, oracle or scene; {REMEDY}")
        moments = [kept[field.name] for field in fields(Summary)]
        return Reference("before", kept["mask"], Summary(*(Estimate(mean, var, BATCHES) for mean, var in moments)))


def keep(name: str, reference: Reference) -> Path:
    """Write the oracle's picture of a case to its file."""
    estimates: Mapping[str, Estimate] = vars(reference.summary)
    path = path_of(name)
    path.parent.mkdir(parents=True, exist_ok=True)
    moments: dict[str, Any] = {part: np.stack([e.mean, e.variance]) for part, e in estimates.items()}
    np.savez_compressed(path, key=np.array(key(cases()[name])), mask=reference.subject, **moments)
    return path


def path_of(name: str) -> Path:
    """Return the file of a case."""
    return FOLDER / f"{re.sub(r'[^a-z]+', '-', name)}.npz"


def key(case: Case) -> str:
    """Return a hash of all that the oracle's picture of a case depends on."""
    modules = (oracle, oracle_finishes, summaries)
    code = tuple(_statements(Path(str(module.__file__)).read_text(encoding="utf-8")) for module in modules)
    finishes = [surface.finish for surface in case.geometry.surfaces]
    bodies = [
        body_coupling(f.roughness, f.index, f.flake_fraction, f.body_roughness) for f in finishes if f.flake_fraction
    ]
    nodes = [bands.band_nodes(band) for band in range(bands.BAND_COUNT)]
    digest = hashlib.sha256()
    for chunk in _chunks((version("mitsuba"), BATCHES, code, nodes, bodies, case)):
        digest.update(chunk)
    return digest.hexdigest()[:32]


def _statements(source: str) -> tuple[str, ...]:
    """Return the lines of a module but for its imports: where a thing lies changes nothing that it does."""
    imports = [node for node in ast.parse(source).body if isinstance(node, ast.Import | ast.ImportFrom)]
    left_out = {line for node in imports for line in range(node.lineno, (node.end_lineno or node.lineno) + 1)}
    return tuple(line for number, line in enumerate(source.splitlines(), 1) if number not in left_out)


def _chunks(value: Any) -> Iterator[bytes]:
    """Yield the bytes of plain data, numbers and arrays in single precision."""
    if isinstance(value, np.ndarray | float | int):
        array = np.asarray(value, np.float32)
        yield f"{array.shape}".encode()
        yield array.tobytes()
    elif is_dataclass(value):
        for field in fields(value):
            yield from _chunks(getattr(value, field.name))
    elif isinstance(value, Sequence) and not isinstance(value, str):
        yield f"{len(value)}".encode()
        for part in value:
            yield from _chunks(part)
    else:
        yield f"{value!r}".encode()
