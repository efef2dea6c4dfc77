"""The wheel holds the packages with their data, and nothing that only the tests need."""

from __future__ import annotations

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGES = ("materials", "scenes", "render", "gallery")
KEPT_OUT = "gallery/images"
"""The README's pictures."""
FORGOTTEN = shutil.ignore_patterns("__pycache__")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> zipfile.ZipFile:
    """Return the wheel of a clean copy of the tree: an old build folder would be packed with it."""
    clean = tmp_path_factory.mktemp("clean")
    for package in PACKAGES:
        shutil.copytree(ROOT / package, clean / package, ignore=FORGOTTEN)
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, clean)
    build = (sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-index", "--no-build-isolation", ".")
    subprocess.run(build, cwd=clean, check=True)
    (built,) = clean.glob("*.whl")
    return zipfile.ZipFile(built)


@pytest.mark.slow
def test_the_wheel_holds_every_file_of_the_packages_and_no_other(wheel: zipfile.ZipFile) -> None:
    packed = {info.filename for info in wheel.infolist() if not info.is_dir() and ".dist-info/" not in info.filename}
    files = (path for package in PACKAGES for path in (ROOT / package).rglob("*") if path.is_file())
    there = {path.relative_to(ROOT) for path in files if "__pycache__" not in path.parts}
    assert packed == {path.as_posix() for path in there if not path.is_relative_to(KEPT_OUT)}
    assert {f"{package}/py.typed" for package in PACKAGES} <= packed


@pytest.mark.slow
def test_the_wheel_brings_its_licences_and_its_command(wheel: zipfile.ZipFile) -> None:
    (info,) = {name.partition("/")[0] for name in wheel.namelist() if ".dist-info/" in name}
    licences = {f"{info}/licenses/{name}" for name in ("LICENSE", "materials/NOTICE-colour-science.txt")}
    assert licences <= set(wheel.namelist())
    assert "spruelight = gallery.__main__:main" in wheel.read(f"{info}/entry_points.txt").decode()
