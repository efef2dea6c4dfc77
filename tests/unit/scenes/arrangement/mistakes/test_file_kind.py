"""An arrangement, a setup, a kit and a mesh in the place of one another."""

from __future__ import annotations

import shutil
from importlib import resources
from pathlib import Path

import pytest

from gallery.inputs import open_input
from scenes.arrangement.resolving import read_arrangement
from scenes.errors import InputError
from scenes.setups.setup import load_setup

ARRANGEMENT = '[subject]\nmesh = "stand-in:spoon"\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with an arrangement `a.toml` and a setup `mine.toml`."""
    (tmp_path / "a.toml").write_text(ARRANGEMENT)
    with resources.as_file(resources.files("scenes.setups") / "data" / "rembrandt.toml") as setup:
        shutil.copy(setup, tmp_path / "mine.toml")
    return tmp_path


def test_a_setup_in_the_place_of_an_arrangement_is_shown_its_own(folder: Path) -> None:
    setup = folder / "mine.toml"
    assert load_setup(str(setup)).lamps
    with pytest.raises(InputError) as caught:
        read_arrangement(setup)
    assert str(caught.value) == (
        f"{setup} is a setup, and no arrangement: it is seen by spruelight proof {setup} ARRANGEMENT.toml, or with "
        f"--setup {setup}"
    )


@pytest.mark.parametrize("name", ["a.toml", "hull.stl", "hull.GLB"])
def test_an_arrangement_or_a_mesh_in_the_place_of_a_setup_is_shown_its_own(folder: Path, name: str) -> None:
    told = rf"and no setup: name a setup before it, as spruelight proof rembrandt \S*{name}"
    with pytest.raises(InputError, match=told):
        load_setup(str(folder / name))


def test_a_kit_in_the_place_of_a_setup_is_told(tmp_path: Path) -> None:
    kit = tmp_path / "kit.toml"
    kit.write_text('[[lamps]]\nname = "desk panel"\nsize_cm = [20, 14]\n')
    with pytest.raises(InputError, match=r'is a kit, and no setup: an arrangement names it, as kit = "kit\.toml"'):
        load_setup(str(kit))


def test_a_setup_s_name_in_the_place_of_an_arrangement_is_shown_its_own() -> None:
    with pytest.raises(InputError, match=r"rembrandt is a setup, and goes before the arrangement"):
        open_input(Path("rembrandt"), {})


@pytest.mark.parametrize(("name", "what"), [("a.toml", "an arrangement"), ("mine.toml", "a setup")])
def test_an_arrangement_or_a_setup_in_the_place_of_a_kit_is_told(folder: Path, name: str, what: str) -> None:
    (folder / "b.toml").write_text(f'kit = "{name}"\n')
    told = rf"{name} is {what}, and no kit: a kit has \[\[lamps\]\] and \[\[cards\]\] alone"
    with pytest.raises(InputError, match=told):
        open_input(folder / "b.toml", {})
