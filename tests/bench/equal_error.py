"""Our seconds for the demo sheet against those of the plain way at the same error.

`python -m tests.bench.equal_error [--references FOLDER]`. A frame's error is the relative mean squared error of its
linear light against the truth, which is known without long renders (see `errors`), or from those of `references`.
Doubling independent samples halves it: so two renders of the plain way, which check that law, tell how many samples it
needs for the error of ours, and its seconds a sample how long they take.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.kernel.backend import mitsuba
from render.shot import Shot

from .errors import EPSILON, Estimate, mean_of
from .linear_frames import Sheet, take_linear
from .plain_error import Plain, measure_plain, print_plain
from .qualities import PASSES
from .report import machine, table
from .truths import Reference, kernel_references, stored_references

QUALITIES = ("draft", "fine")
HEADLINE = "draft, denoised"
COUNTED = """in our seconds: handing over meshes, compiling, tracing, the light at the hero, features, summing,
developing, readings, storing, and denoising unless raw; in plain seconds: rendering alone; in neither: starting
Python and Mitsuba, loading the model"""

Errors = dict[str, list[Estimate]]


def equal_error(shots: Sequence[Shot], folder: Path | None = None) -> float:
    """Print errors and equal-error ratios of a sheet's frames; return the ratio at draft with the denoiser."""
    mitsuba()  # starting it is in nobody's seconds
    sheets = {quality: take_linear(shots, PASSES[quality]) for quality in QUALITIES}
    fine = sheets["fine"].frames
    references = kernel_references(fine) if folder is None else stored_references(fine, folder)
    truths = [reference.developed_as(linear) for linear, reference in zip(fine, references, strict=True)]
    plain = [measure_plain(linear, truth) for linear, truth in zip(fine, truths, strict=True)]
    ours = {kind: errors for quality in QUALITIES for kind, errors in _errors(quality, sheets[quality], references)}
    print_plain(plain)
    _print_errors(plain, ours)
    return _print_ratios(plain, ours, sheets)[HEADLINE]


def _errors(quality: str, sheet: Sheet, references: Sequence[Reference]) -> list[tuple[str, list[Estimate]]]:
    truths = [reference.developed_as(linear) for linear, reference in zip(sheet.frames, references, strict=True)]
    pairs = list(zip(truths, sheet.frames, strict=True))
    return [
        (f"{quality}, raw", [truth.error(linear.raw) for truth, linear in pairs]),
        (f"{quality}, denoised", [truth.error(linear.clean) for truth, linear in pairs]),
    ]


def _print_errors(plain: Sequence[Plain], ours: Errors) -> None:
    rows = [[p.setup, *map(str, errors)] for p, *errors in zip(plain, *ours.values(), strict=True)]
    rows.append(["mean", *(str(mean_of(errors)) for errors in ours.values())])
    table(f"the same of ours; the mean of (x - r)^2 / (r^2 + {EPSILON})", ["ours", *ours], rows)


def _print_ratios(plain: Sequence[Plain], ours: Errors, sheets: dict[str, Sheet]) -> dict[str, float]:
    samples = {kind: [p.samples(e.value) for p, e in zip(plain, errors, strict=True)] for kind, errors in ours.items()}
    rows = [[p.setup, *(f"{n:.0f}" for n in counts)] for p, *counts in zip(plain, *samples.values(), strict=True)]
    table("samples that give plain Mitsuba the error of ours", ["", *ours], rows)
    rows, ratios = [], {}
    for kind, errors in ours.items():
        sheet = sheets[kind.partition(",")[0]]
        seconds = sheet.seconds - (sheet.denoising_seconds if kind.endswith("raw") else 0.0)
        theirs = np.array([p.seconds * n for p, n in zip(plain, samples[kind], strict=True)])
        unsure = [np.hypot(e.relative, p.variance.relative) for p, e in zip(plain, errors, strict=True)]
        ratio = Estimate(float(theirs.sum() / seconds), float(np.linalg.norm(theirs * unsure) / seconds))
        largest = int(theirs.argmax())
        share = f"{plain[largest].setup} {theirs[largest] / theirs.sum():.0%}"
        rows.append([kind, f"{seconds:.1f}", f"{theirs.sum():.1f}", f"{ratio:.2f}", share])
        ratios[kind] = ratio.value
    heads = ["ours", "our seconds", "plain seconds", "ratio", "largest part of plain"]
    table(f"seconds for {len(plain)} frames at equal error", heads, rows)
    print(COUNTED)
    _print_denoised(plain, ours[HEADLINE], sheets["draft"])
    return ratios


def _print_denoised(plain: Sequence[Plain], errors: Sequence[Estimate], sheet: Sheet) -> None:
    """Print what the ratio would be if the plain way had our denoiser; Mitsuba brings one for some GPUs only."""
    samples = [p.samples_denoised(e.value) for p, e in zip(plain, errors, strict=True)]
    seconds = sum(p.seconds * n for p, n in zip(plain, samples, strict=True)) + sheet.denoising_seconds
    print(
        f"with our denoiser the plain way would need {min(samples):.0f} to {max(samples):.0f} samples for the error of "
        f"{HEADLINE}: {seconds:.1f} s, a ratio of {seconds / sheet.seconds:.2f}"
    )


def main() -> None:
    """Measure the demo's default sheet."""
    parser = argparse.ArgumentParser(description="our seconds against the plain way's at equal error")
    parser.add_argument("--references", type=Path, help="a folder that tests.bench.references wrote")
    asked = parser.parse_args()
    print(machine())
    equal_error(shots_of(open_input(None, {}), (), (), None), asked.references)


if __name__ == "__main__":
    main()
