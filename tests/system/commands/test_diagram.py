"""`spruelight diagram` writes its pages as PDF, SVG or PNG, or refuses in a sentence."""

from __future__ import annotations

from contextlib import chdir
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import trimesh

from gallery.answers.meter import meter_facts
from gallery.inputs import open_input
from render.images.store.store import Store
from render.images.tracing import Tracing
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import resolve
from scenes.setups.place_setup import place_setup
from scenes.setups.setup import setup_names
from tests.support.command import run
from tests.support.diagrams.reader import arrangement_of, lux_by_lamp, text_of

SMALL = ("--height-cm", "9", "--size", "48x64")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("diagram")
    trimesh.creation.capsule(height=6, radius=2).export(folder / "pill.stl")
    return folder


@pytest.mark.parametrize(("paper", "size_cm"), [("A4", (21.0, 29.7)), ("letter", (21.59, 27.94))])
def test_a_pdf_has_pages_of_the_paper_and_its_text_as_text(
    folder: Path, paper: str, size_cm: tuple[float, float]
) -> None:
    ran = run(folder, "diagram", "rembrandt", "pill.stl", *SMALL, "--out", f"{paper}.pdf", "--paper", paper)
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.splitlines() == [f"{paper}.pdf"]
    for page in pypdfium2.PdfDocument(folder / f"{paper}.pdf"):
        assert page.get_size() == pytest.approx([cm * 72 / 2.54 for cm in size_cm], abs=0.01)
    text = pypdfium2.PdfDocument(folder / f"{paper}.pdf")[0].get_textpage().get_text_range()
    assert "1 key" in text


def test_who_types_the_lamps_from_the_pdf_alone_meters_the_lux_that_it_says(folder: Path) -> None:
    _require_same_lux(folder, "rembrandt", Path("pill.stl"), {"height_cm": 9.0})


MANY_THINGS = ("three-point", "high-key", "clamshell", "low-key")
OTHERS = [(Path("stand-in:tank"), {"length_cm": 20.0}), (Path("stand-in:figure"), {"height_cm": 2.0})]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("setup", "file", "size"),
    [*((setup, None, {}) for setup in setup_names()), *((s, *other) for other in OTHERS for s in MANY_THINGS)],
)
def test_who_types_any_setup_from_the_pdf_alone_meters_the_lux_that_it_says(
    tmp_path: Path, setup: str, file: Path | None, size: dict[str, float]
) -> None:
    _require_same_lux(tmp_path, setup, file, size)


def _require_same_lux(folder: Path, setup: str, file: Path | None, size: dict[str, float]) -> None:
    """Require that the meter reads what a diagram says of each lamp, within a tenth of a stop."""
    sizing = [word for key, value in size.items() for word in (f"--{key.replace('_', '-')}", f"{value:g}")]
    ran = run(
        folder, "diagram", setup, *([str(file)] if file else []), *sizing, "--size", "48x64", "--out", f"{setup}.pdf"
    )
    assert ran.returncode == 0, ran.stderr
    with chdir(folder):
        arrangement = open_input(file, size)
        lamps = [dict(lamp.lamp.stated) for lamp in place_setup(setup, arrangement, 48 / 64).lamps]
    text = text_of(folder / f"{setup}.pdf")
    typed = resolve(fill_model(arrangement_of(text, lamps), Arrangement, "typed"), Folder(folder, "typed"))
    readings = meter_facts(typed, None, Tracing(Store()))["meters"]
    said = lux_by_lamp(text)
    assert len(readings) == len(said) == len(lamps)
    for i, (meter, lux) in enumerate(zip(readings, said, strict=True)):
        assert abs(np.log2(meter["by_lamp"][f"lamp {i + 1}"] / lux)) < 0.1, (setup, i, meter, lux)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("rembrandt", "pill.stl", *SMALL, "--out", "plan.doc"), "a page is written as .pdf, .svg or .png"),
        (("rembrant", "pill.stl", *SMALL, "--out", "plan.pdf"), "no setup is called 'rembrant'"),
        (("rembrandt", "pill.stl", *SMALL, "--out", "none/../pill.stl/plan.pdf"), "cannot be written to"),
    ],
)
def test_wrong_input_is_refused_before_anything_is_traced(folder: Path, words: tuple[str, ...], sentence: str) -> None:
    ran = run(folder, "diagram", *words, cache=folder / "untouched")
    assert ran.returncode == 2
    assert sentence in ran.stderr
    assert not (folder / "untouched").exists()
