"""Which LLVM is found, in packages as they would be installed on other machines."""

from __future__ import annotations

import importlib.metadata
import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from gallery.answers import installation
from render.kernel import backend
from render.kernel.backend import Llvm, NoBackendError, choose_backend, find_llvm, packaged_llvm

# where each wheel puts its library, beside files of LLVM that are none
WHEELS = {
    "karellen-llvm-core on Linux": ("karellen-llvm-core", "../../libLLVM.so.23.1", ("../../libLLVMCore.a",)),
    "llvm-nanobind on Windows": ("llvm-nanobind", "llvm/LLVM.dll", ("llvm/__init__.pyd",)),
    "llvm-nanobind on a Mac": ("llvm-nanobind", "llvm_nanobind.dylibs/l99c09c.dylib", ("llvm/__init__.abi3.so",)),
    "llvm-nanobind on Linux": (
        "llvm-nanobind",
        "llvm_nanobind.libs/libLLVM-15bf2ffe.so.21.1",
        ("llvm/__init__.abi3.so", "llvm_nanobind.libs/libxml2-c69f5fe7.so.2.9.7"),
    ),
}


@pytest.fixture(autouse=True)
def _no_gpu_nor_llvm(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(backend, "has_nvidia", lambda: False)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(backend, "find_library", lambda _: None)
    monkeypatch.delenv("DRJIT_LIBLLVM_PATH", raising=False)
    installed({}, monkeypatch)
    choose_backend.cache_clear()
    yield
    choose_backend.cache_clear()


def installed(packages: dict[str, Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """Have only these packages installed, each in its folder."""

    def files(name: str) -> list[importlib.metadata.PackagePath] | None:
        if name not in packages:
            raise importlib.metadata.PackageNotFoundError(name)
        return importlib.metadata.PathDistribution(packages[name] / f"{name.replace('-', '_')}-1.dist-info").files

    monkeypatch.setattr(importlib.metadata, "files", files)


def wheel(folder: Path, package: str, *files: str) -> Path:
    """Return the site-packages of a new environment that holds a package of these files."""
    site = folder / package / "lib" / "site-packages"
    info = site / f"{package.replace('-', '_')}-1.dist-info"
    info.mkdir(parents=True)
    (info / "RECORD").write_text("".join(f"{file},,\n" for file in files), encoding="utf-8")
    for file in files:
        (site / file).parent.mkdir(parents=True, exist_ok=True)
        (site / file).touch()
    return site


@pytest.mark.parametrize("case", WHEELS)
def test_the_library_of_each_wheel_is_found_and_taken_without_a_trial(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package, library, others = WHEELS[case]
    site = wheel(tmp_path, package, *others, library)
    installed({package: site}, monkeypatch)
    monkeypatch.setattr(backend, "probe", lambda *_: pytest.fail("a packaged library is not tried"))
    found = str((site / library).resolve())
    assert packaged_llvm() == Llvm(found, package)
    assert choose_backend() == backend.Backend("llvm_ad_spectral", found, f"no GPU; LLVM from {package}")


def test_of_two_packages_the_first_is_taken_and_a_library_that_is_gone_is_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = wheel(tmp_path, "karellen-llvm-core", "libLLVM.so")
    second = wheel(tmp_path, "llvm-nanobind", "llvm/LLVM.dll")
    installed({"karellen-llvm-core": first, "llvm-nanobind": second}, monkeypatch)
    assert packaged_llvm() == Llvm(str(first / "libLLVM.so"), "karellen-llvm-core")
    (first / "libLLVM.so").unlink()
    assert packaged_llvm() == Llvm(str(second / "llvm/LLVM.dll"), "llvm-nanobind")
    (second / "llvm/LLVM.dll").unlink()
    assert packaged_llvm() is None


def test_the_machines_own_library_is_tried_first_and_an_old_one_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DRJIT_LIBLLVM_PATH", "/opt/llvm/libLLVM.so")
    tried = []
    versions = iter(("19.1.7", "16.0.6", None))

    def probe(variant: str, library: str | None) -> str | None:
        tried.append((variant, library))
        return next(versions)

    monkeypatch.setattr(backend, "probe", probe)
    assert choose_backend().why == "no GPU; LLVM 19.1.7 from this machine"
    choose_backend.cache_clear()
    with pytest.raises(NoBackendError, match=r"LLVM 16.0.6 is too old: install .*llvm-nanobind"):
        choose_backend()
    with pytest.raises(NoBackendError, match=r"no usable LLVM was found: install .*llvm-nanobind"):
        choose_backend()
    assert tried == 3 * [("llvm_ad_spectral", "/opt/llvm/libLLVM.so")]
    assert os.environ["DRJIT_LIBLLVM_PATH"] == "/opt/llvm/libLLVM.so"


@pytest.mark.parametrize(
    ("llvm", "version", "says"),
    [
        (Llvm("C:/v/llvm/LLVM.dll", "llvm-nanobind"), "21.1.6", "21.1.6 from llvm-nanobind (LLVM.dll)"),
        (Llvm("/usr/lib/libLLVM.so"), "19.1.7", "19.1.7 from this machine (libLLVM.so)"),
        (Llvm(None), "19.1.7", "19.1.7 from this machine (found by Dr.Jit)"),
        (Llvm("/v/libLLVM.dylib", "llvm-nanobind"), None, "does not start: reinstall llvm-nanobind (libLLVM.dylib)"),
        (Llvm(None), None, f"none that starts: {backend.REMEDY}"),
    ],
)
def test_the_doctor_says_which_llvm_is_used(
    llvm: Llvm, version: str | None, says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(installation, "find_llvm", lambda: llvm)
    for module in (installation, backend):
        monkeypatch.setattr(module, "probe", lambda *_: version)
    assert installation.installation_facts()["llvm"] == says


def test_nothing_named_leaves_the_search_to_drjit() -> None:
    assert find_llvm() == Llvm(None)
