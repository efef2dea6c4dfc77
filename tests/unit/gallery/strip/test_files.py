"""Files among the values of a strip are found beside the arrangement, as those in it are, and nowhere else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh

from gallery.inputs import open_input
from gallery.strip.field import read_field
from gallery.strip.variation import Strip, StripRequest, strip_of
from render import recesses
from scenes.errors import InputError
from scenes.subject.subject import Subject
from tests.unit.scenes.lamps.files.test_ies import ies

ARRANGEMENT = """
[subject]
mesh = ["hull.stl", "other.stl"]
unit = "mm"
parts = [{ match = "hull", base = "#808080" }]
[[lamps]]
name = "own"
size_cm = [20, 14]
"""
# what is varied, and two files that do as its values
FILES = {
    "subject.mesh": ("hull.stl", "other.stl"),
    "subject.parts.hull.base": ("a.csv", "b.csv"),
    "subject.parts.1.base": ("a.csv", "b.csv"),
    "subject.wash.colour": ("a.csv", "b.csv"),
    "lamps.key.spectrum": ("a.csv", "b.csv"),
    "lamps.rim.spectrum": ("a.csv", "b.csv"),
    "lamps.key.photometry": ("a.ies", "b.ies"),
    "kit": ("a.toml", "b.toml"),
}
KEYS = {"subject.parts.hull.base": "subject.parts[1].base", "subject.parts.1.base": "subject.parts[1].base"}
"""What a field is called in messages, where it is not by its own name."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder with an arrangement and files in it, and the same above it; the process runs elsewhere."""
    inner = tmp_path / "build"
    inner.mkdir()
    for place in (tmp_path, inner):
        for name, size in (("hull", (30, 20, 30)), ("other", (30, 20, 40))):
            trimesh.creation.box(size).export(place / f"{name}.stl")
        for name, slope in (("a", 0.5), ("b", 0.9)):
            lines = (f"{nm},{0.05 + slope * (nm - 380) / 400}\n" for nm in range(380, 781, 10))
            (place / f"{name}.csv").write_text("".join(lines))
            (place / f"{name}.ies").write_text(ies(vertical="0 45 90", candela=f"100 {100 * slope} 0"))
            lamp = f'[[lamps]]\nname = "{name}"\nsize_cm = [9, 9]\nkelvin = {3000 + 1000 * slope}\n'
            (place / f"{name}.toml").write_text(lamp)
    (inner / "ship.toml").write_text(ARRANGEMENT)
    (inner / "link").symlink_to(tmp_path, target_is_directory=True)
    monkeypatch.chdir(tmp_path)
    return inner


@pytest.fixture(autouse=True)
def without_tracing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take recesses to be everywhere, which are traced otherwise."""

    def everywhere(subject: Subject, _: float, __: object) -> Subject:
        parts = [replace(part, recess=np.ones(part.faces.shape, np.float32)) for part in subject.parts]
        return replace(subject, parts=tuple(parts))

    monkeypatch.setattr(recesses, "with_recesses", everywhere)


def strip(folder: Path, name: str, *values: str) -> Strip:
    arrangement = open_input(folder / "ship.toml", {})
    return strip_of(StripRequest(arrangement, "three-point", (60, 80)), read_field(f"{name}={','.join(values)}"))


def refusal(folder: Path, name: str, *values: str) -> str:
    with pytest.raises(InputError) as caught:
        strip(folder, name, *values)
    sentence = str(caught.value)
    assert "\n" not in sentence
    return sentence


@pytest.mark.parametrize("name", FILES)
def test_files_beside_the_arrangement_are_varied(folder: Path, name: str) -> None:
    one, other = strip(folder, name, *FILES[name]).shots
    lit, relit = ([(light.shape, light.radiance.tobytes()) for light in shot.lit_emitters] for shot in (one, other))
    assert (one.geometry.fingerprint, lit) != (other.geometry.fingerprint, relit)


@pytest.mark.parametrize("way", ["../{}", "{folder}/../{}", "{folder}/{}", "link/{}"])
@pytest.mark.parametrize("name", FILES)
def test_files_elsewhere_are_refused(folder: Path, name: str, way: str) -> None:
    inside, file = FILES[name]
    outside = way.format(file, folder=folder)
    assert (folder / outside).is_file()
    message = f'{folder}/ship.toml: {KEYS.get(name, name)} = "{outside}" leaves the arrangement\'s folder; '
    assert refusal(folder, name, inside, outside).startswith(message)


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_not_there_is_told(folder: Path, name: str) -> None:
    inside, file = FILES[name]
    assert refusal(folder, name, inside, f"gone-{file}") == (
        f'{folder}/ship.toml: {KEYS.get(name, name)} = "gone-{file}": there is no such file; it should lie beside '
        "ship.toml"
    )


@pytest.mark.parametrize("name", FILES)
def test_a_file_of_other_content_is_told(folder: Path, name: str) -> None:
    inside, file = FILES[name]
    (folder / file).write_text("bread = [\nmilk\n")
    assert file in refusal(folder, name, inside, file)


def test_a_usual_part_of_a_stand_in_is_varied_and_no_other() -> None:
    request = StripRequest(open_input(Path("stand-in:tank"), {}), "loop", (60, 80))
    shots = strip_of(request, read_field("subject.parts.tyres.base=#101010,#f0f0f0")).shots
    surfaces = [{surface.name: surface.finish for surface in shot.geometry.surfaces} for shot in shots]
    assert [name for name in surfaces[0] if surfaces[0][name] != surfaces[1][name]] == ["tyres"]
    before = request.shot(request.arrangement, shots[0].setup).geometry.surfaces
    assert [surface.name for surface in before if surface.finish != surfaces[0][surface.name]] == ["tyres"]


def test_a_part_declared_of_a_stand_in_is_varied_by_its_number_or_its_name(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('[subject]\nmesh = "stand-in:tank"\nparts = [{ match = "tyres", gloss = 80 }]\n')
    request = StripRequest(open_input(path, {}), "loop", (60, 80))
    numbered, named = (
        [shot.geometry.fingerprint for shot in strip_of(request, read_field(f"{name}=#101010,#f0f0f0")).shots]
        for name in ("subject.parts.1.base", "subject.parts.tyres.base")
    )
    assert numbered == named
    with pytest.raises(InputError, match=r"subject\.parts\[1\]\.base"):
        strip_of(request, read_field("subject.parts.tyres.base=#101010,../a.csv"))
