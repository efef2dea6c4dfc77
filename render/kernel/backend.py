"""Which of Mitsuba's backends traces here, and what to do where there is none.

A wrong system LLVM aborts the process (drjit 1.5.0 with LLVM 15 or 16) and cannot be caught, so a library is
handed to Dr.Jit only when it is a packaged one, or after a process of its own has tried it.
"""

from __future__ import annotations

import importlib.metadata
import os
import re
import subprocess
import sys
from ctypes.util import find_library
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

LLVM_PACKAGES = {
    "karellen-llvm-core": r"libLLVM\.so[.\d]*",
    "llvm-nanobind": r"libLLVM-\w+\.so[.\d]*|LLVM\.dll|\w+\.dylib",  # a Mac's wheel has one dylib, of a made-up name
}
"""Python packages that carry an LLVM library, by what it is called: Linux x86-64; the rest, from Python 3.12 on."""
LLVM_OLDEST = 17
REMEDY = (
    "install the packaged LLVM with `pip install karellen-llvm-core` (Linux x86-64) or `pip install llvm-nanobind` "
    f"(elsewhere, from Python 3.12 on), or an LLVM {LLVM_OLDEST} or later and name its library in DRJIT_LIBLLVM_PATH"
)
_PROBE = """
import sys, mitsuba
mitsuba.set_variant(sys.argv[1])
import drjit
drjit.eval(drjit.arange(mitsuba.Float, 4) + 1)
print(*(drjit.detail.llvm_version() if "llvm" in sys.argv[1] else ("ready",)), sep=".")
"""


class NoBackendError(RuntimeError):
    """Nothing here can trace; the message says what to install."""


@dataclass(frozen=True)
class Backend:
    """A choice of backend, with its reason in words."""

    variant: str
    library: str | None
    why: str


@dataclass(frozen=True)
class Llvm:
    """An LLVM library and the Python package that it comes from; of the machine's own, `package` is None.

    Where `library` is None, Dr.Jit looks for one itself.
    """

    library: str | None
    package: str | None = None

    @property
    def source(self) -> str:
        """Where it comes from, in words."""
        return self.package or "this machine"


def packaged_llvm() -> Llvm | None:
    """Return the LLVM library of the first of `LLVM_PACKAGES` that is installed, or None."""
    for package, library in LLVM_PACKAGES.items():
        try:
            files = importlib.metadata.files(package) or []
        except importlib.metadata.PackageNotFoundError:
            continue
        for file in files:
            path = Path(str(file.locate()))
            if re.fullmatch(library, file.name) and path.is_file():
                return Llvm(str(path.resolve()), package)
    return None


def find_llvm() -> Llvm:
    """Return the LLVM library that a CPU would trace with: the packaged one, else the machine's own."""
    return packaged_llvm() or Llvm(os.environ.get("DRJIT_LIBLLVM_PATH") or find_library("LLVM"))


def probe(variant: str, library: str | None = None) -> str | None:
    """Return what a process of its own prints when it uses `variant`, or None where that fails or dies."""
    environment = dict(os.environ)
    if library is not None:
        environment["DRJIT_LIBLLVM_PATH"] = library
    try:
        tried = subprocess.run(
            [sys.executable, "-c", _PROBE, variant],
            env=environment, capture_output=True, text=True, timeout=120, check=True,
        )  # fmt: skip
    except (subprocess.SubprocessError, OSError):
        return None
    return tried.stdout.strip()


def has_nvidia() -> bool:
    """Return whether an NVIDIA driver is there; says nothing of whether it works."""
    return Path("/proc/driver/nvidia/version").exists() or (
        sys.platform == "win32" and find_library("nvcuda") is not None
    )


@cache
def choose_backend() -> Backend:
    """Return the backend to use: CUDA, then Metal, then LLVM.

    Raises
    ------
    NoBackendError
        With the remedy.
    """
    if has_nvidia() and probe("cuda_ad_spectral") is not None:
        return Backend("cuda_ad_spectral", None, "an NVIDIA GPU answers")
    if sys.platform == "darwin" and probe("metal_ad_spectral") is not None:
        return Backend("metal_ad_spectral", None, "an Apple GPU answers")
    llvm = find_llvm()
    if llvm.package is not None:
        return Backend("llvm_ad_spectral", llvm.library, f"no GPU; LLVM from {llvm.source}")
    version = probe("llvm_ad_spectral", llvm.library)
    if version is None:
        raise NoBackendError(f"no usable LLVM was found: {REMEDY}")
    if int(version.split(".")[0]) < LLVM_OLDEST:
        raise NoBackendError(f"LLVM {version} is too old: {REMEDY}")
    return Backend("llvm_ad_spectral", llvm.library, f"no GPU; LLVM {version} from {llvm.source}")


@cache
def mitsuba() -> Any:
    """Return the mitsuba module with the chosen variant set: the one place where it is imported."""
    backend = choose_backend()
    if backend.library is not None:
        os.environ["DRJIT_LIBLLVM_PATH"] = backend.library
    import mitsuba as mi

    mi.set_variant(backend.variant)
    mi.set_log_level(mi.LogLevel.Error)
    return mi


def limit_threads(count: int) -> None:
    """Let the renderer use so many threads of this process; else it uses one a core."""
    mitsuba()
    import drjit

    drjit.set_thread_count(count)
