"""`spruelight doctor`: versions, backends, and what to do about each lack, short enough to paste."""

from __future__ import annotations

import importlib.metadata
import os
import platform
import shutil
from importlib.util import find_spec
from pathlib import Path

from render.camera.denoise import NoDenoiserError, load_denoiser
from render.images.store.store import Store
from render.kernel.backend import (
    REMEDY,
    NoBackendError,
    choose_backend,
    find_llvm,
    has_nvidia,
    probe,
)

PACKAGES = ("materials", "scenes", "render", "gallery")
LIBRARIES = (
    "mitsuba", "drjit", "mitsuba-oidn", "numpy", "scipy", "trimesh", "pydantic", "pillow", "imageio", "openexr",
)  # fmt: skip
GIB = 2**30


def installation_facts() -> dict[str, str]:
    """Return the state of each component, by name, in one line with its remedy."""
    store = Store()
    free = shutil.disk_usage(_existing(store.folder)).free
    return {
        "spruelight": _version("spruelight"),
        "python": f"{platform.python_version()} on {platform.platform()}, {os.cpu_count()} cores",
        "packages": _packages(),
        **{name: _version(name) for name in LIBRARIES},
        "backend": _backend(),
        "cuda": _cuda(),
        "metal": _metal(),
        "llvm": _llvm(),
        "denoiser": _denoiser(),
        "cache": f"{store.folder}, {store.size_bytes() / GIB:.2f} of {store.cap_bytes / GIB:.0f} GiB, "
        f"{free / GIB:.0f} GiB free on the disk (spruelight cache says what is in it)",
    }


def installation_lines(facts: dict[str, str]) -> list[str]:
    """Return a line for each component."""
    return [f"{name:14} {state}" for name, state in facts.items()]


def _version(name: str) -> str:
    try:
        return importlib.metadata.version(name)
    except importlib.metadata.PackageNotFoundError:
        return f"missing: run `pip install {name}`"


def _packages() -> str:
    """Return whether the four packages, whose names are common words, are those of this project."""
    root = Path(__file__).parents[2]
    foreign = []
    for name in PACKAGES:
        spec = find_spec(name)
        if spec is None or spec.origin is None or Path(spec.origin).parent.parent != root:
            foreign.append(f"{name} comes from {spec.origin if spec else 'nowhere'}")
    if foreign:
        return "; ".join(foreign) + ": another project uses the name; use a virtual environment of its own"
    return f"{', '.join(PACKAGES)}: all from {root}"


def _backend() -> str:
    try:
        backend = choose_backend()
    except NoBackendError as error:
        return str(error)
    return f"{backend.variant} ({backend.why})"


def _cuda() -> str:
    if not has_nvidia():
        return "no NVIDIA driver found; none is needed"
    if probe("cuda_ad_spectral") is None:
        return "an NVIDIA driver is there but does not answer: update the driver"
    return "ready"


def _metal() -> str:
    if platform.system() != "Darwin":
        return "only on macOS"
    return "ready" if probe("metal_ad_spectral") else "does not answer: update macOS (untested by us)"


def _llvm() -> str:
    """Return the LLVM that a CPU traces with: its version, its source and its library's name."""
    llvm = find_llvm()
    library = Path(llvm.library).name if llvm.library else "found by Dr.Jit"
    version = probe("llvm_ad_spectral", llvm.library)
    if version is not None:
        return f"{version} from {llvm.source} ({library})"
    return f"does not start: reinstall {llvm.package} ({library})" if llvm.package else f"none that starts: {REMEDY}"


def _denoiser() -> str:
    try:
        load_denoiser()
    except NoDenoiserError as error:
        return str(error)
    return "ready"


def _existing(folder: Path) -> Path:
    return next(path for path in (folder, *folder.parents) if path.exists())
